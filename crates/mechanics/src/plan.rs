//! A plan: what is asked, grouped so that each sweep is solved once per candidate.

mod build;
mod check;
mod evaluate;
mod over_states;

use crate::grid::{Halves, Pick};
use crate::loads::Book;
use crate::reach::{Map, Row};
use crate::settings::Inner;
use crate::stop_rows::StopRow;
use crate::sweep::{Half, Node};
use crate::{Answer, Ask, Bars, Settings};
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
    /// The same over the poses and masses of other states of loading, with the index of each ask.
    others: Vec<(Plan, Vec<usize>)>,
    /// Something is asked over the load cases.
    loaded: bool,
    /// The torque of a parked machine is asked for up to the steering stop.
    parks: bool,
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
    /// Other settings than the plan's.
    inner: Option<Inner>,
    poses: usize,
    /// For the other states of loading, with room for their answers.
    others: Vec<(Scratch, Vec<Answer>)>,
}

impl Scratch {
    /// Evaluations with this scratch take other bars than those of the settings.
    pub fn set_bars(&mut self, bars: Option<Bars>) {
        self.bars = bars;
    }

    /// Evaluations with this scratch take fittings, limits and parts from these settings instead
    /// of the plan's own. Reach, grid steps and states of loading stay those of the plan.
    pub fn set_choice(&mut self, plan: &Plan, settings: Option<&Settings>) {
        let group = &plan.inner.group;
        self.inner = settings.map(|s| Inner::of(s, group.clone()));
        for ((other, _), (room, _)) in plan.others.iter().zip(&mut self.others) {
            room.set_choice(other, settings);
        }
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
            inner: None,
            poses: 0,
            others: self
                .others
                .iter()
                .map(|(plan, of)| (plan.scratch(), vec![Answer::default(); of.len()]))
                .collect(),
        }
    }
}
