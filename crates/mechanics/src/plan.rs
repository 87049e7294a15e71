//! A plan: what is asked, grouped so that each sweep is solved once per candidate.

mod build;
mod check;
mod evaluate;

use crate::grid::{Halves, Pick};
use crate::loads::Book;
use crate::reach::{Map, Row};
use crate::settings::Inner;
use crate::stop_rows::StopRow;
use crate::sweep::{Half, Node};
use crate::{Ask, Bars, Settings};
use kinematics::Side;

pub use check::PlanFault;
pub(crate) use check::check_settings;
pub(crate) use evaluate::{View, travel_zero};

/// What is asked of every candidate, grouped so that each sweep of poses (travel, lean, reach,
/// steering stop) is solved once. Immutable: one plan serves any number of threads, each with
/// its own [`Scratch`].
#[derive(Clone, Debug)]
pub struct Plan {
    asks: Vec<Planned>,
    settings: Settings,
    inner: Inner,
    travel: Grid,
    /// Rows of the reach map; empty when nothing is asked over reach.
    rows: Vec<Row>,
    /// Something is asked over the load cases.
    loaded: bool,
    /// Which gaps are asked for up to the steering stop.
    gaps: [bool; 5],
    /// For any machine, and for one whose right side mirrors the left.
    any: Layout,
    mirrored: Layout,
}

/// The poses that a machine needs; a symmetric one needs only one half.
#[derive(Clone, Debug, Default)]
struct Layout {
    lean: Grid,
    /// Where the straight pose of each reach row stands in the lean grid, and the turn.
    reach: Vec<(usize, Pick, Side)>,
    /// Crank sweeps to the stop: where the straight pose stands, and the turn.
    stops: Vec<(Pick, Side)>,
}

/// The nodes of a sweep, both halves.
#[derive(Clone, Debug, Default)]
struct Grid {
    halves: Halves,
    up: Vec<Node>,
    down: Vec<Node>,
}

/// An ask with the places it takes from the sweeps.
#[derive(Clone, Debug)]
struct Planned {
    ask: Ask,
    /// Places in the travel grid, or the lean grid of [`Layout`] `any`.
    picks: Vec<Pick>,
    /// Places in the lean grid of the mirrored layout.
    mirrored: Vec<Pick>,
    /// Stop rows of both layouts.
    stops: [Vec<usize>; 2],
    /// Crank angles, degrees, for limits of lean; of both layouts.
    cranks: [Vec<f64>; 2],
}

/// Room for the poses of one candidate. Made once per thread by [`Plan::scratch`];
/// [`Plan::evaluate`] then allocates nothing.
#[derive(Clone, Debug, Default)]
pub struct Scratch {
    lean: [Half; 2],
    travel: [Half; 2],
    map: Map,
    stops: Vec<StopRow>,
    book: Book,
    bars: Option<Bars>,
    poses: usize,
}

impl Scratch {
    /// Evaluations with this scratch take other bars than those of the settings.
    pub fn set_bars(&mut self, bars: Option<Bars>) {
        self.bars = bars;
    }

    /// Those bars.
    pub fn bars(&self) -> Option<&Bars> {
        self.bars.as_ref()
    }

    /// Poses that stood in the sweeps of the last evaluation, of which answers were made.
    pub fn poses(&self) -> usize {
        self.poses
    }
}

impl Plan {
    /// What is asked, in the order of the answers.
    pub fn asks(&self) -> impl Iterator<Item = &Ask> {
        self.asks.iter().map(|planned| &planned.ask)
    }

    /// The settings that the plan was made with.
    pub fn settings(&self) -> &Settings {
        &self.settings
    }

    /// Room for one candidate at a time.
    pub fn scratch(&self) -> Scratch {
        let halves = |n: usize| {
            let half = || Half {
                samples: Vec::with_capacity(n),
                ..Half::default()
            };
            [half(), half()]
        };
        let longest = |grid: &Grid| grid.up.len().max(grid.down.len());
        let corners: usize = self.rows.iter().map(|r| r.curvatures.len()).sum();
        Scratch {
            lean: halves(longest(&self.any.lean).max(longest(&self.mirrored.lean))),
            travel: halves(longest(&self.travel)),
            map: Map {
                corners: Vec::with_capacity(2 * corners),
                straights: Vec::with_capacity(2 * self.rows.len()),
                shortfall: 0.0,
            },
            stops: Vec::with_capacity(self.any.stops.len().max(self.mirrored.stops.len())),
            book: Book::with_room(self.inner.parts.cases.len()),
            bars: None,
            poses: 0,
        }
    }
}
