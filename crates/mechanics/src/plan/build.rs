//! From asks to grids.

use super::check::{PlanFault, check};
use super::{Grid, Layout, Plan, Planned};
use crate::clearance::Gaps;
use crate::grid::{Halves, Pick, folded, places};
use crate::reach::rows;
use crate::settings::Inner;
use crate::states::Group;
use crate::sweep::{Axis, Node};
use crate::table::{at_stop, over_states};
use crate::{Ask, Over, Quantity, Settings};
use kinematics::Side;

/// Largest step between the leans at which the crank is swept to its stop, degrees.
const STOP_STEP_DEG: f64 = 4.0;
/// Largest step between the crank angles at which the lean is swept to its limit, degrees.
const LIMIT_STEP_DEG: f64 = 10.0;

impl Plan {
    /// Groups the asks.
    ///
    /// # Errors
    /// Names the first ask or setting that makes no sense.
    pub fn new(asks: &[Ask], settings: &Settings) -> Result<Plan, PlanFault> {
        check(asks, settings)?;
        let mut plan = Plan::of(asks, settings, Group::first(settings))?;
        let groups = Group::all(settings).into_iter().skip(1);
        let posed = groups.map(|group| (group, false));
        let weighed = Group::singles(settings).into_iter().map(|g| (g, true));
        for (group, single) in posed.chain(weighed) {
            let wanted = |(_, ask): &(usize, &Ask)| match single {
                true => takes_one_state(ask),
                false => !ask.quantity.info().holdable,
            };
            let (of, asks): (Vec<usize>, Vec<Ask>) = asks
                .iter()
                .enumerate()
                .filter(wanted)
                .map(|(i, ask)| (i, *ask))
                .unzip();
            if !asks.is_empty() {
                plan.others.push((Plan::of(&asks, settings, group)?, of));
            }
        }
        Ok(plan)
    }

    /// The asks over the poses of one group of states of loading.
    fn of(asks: &[Ask], settings: &Settings, group: Group) -> Result<Plan, PlanFault> {
        let reach = group.reach.unwrap_or(settings.reach);
        let over_reach = asks.iter().any(|ask| ask.over == Over::Reach);
        let rows = match over_reach {
            true => rows(&reach, &settings.steps),
            false => Vec::new(),
        };
        if over_reach && rows.is_empty() {
            return Err(PlanFault::EmptyReach);
        }
        let mut plan = Plan {
            asks: Vec::new(),
            settings: settings.clone(),
            inner: Inner::of(settings, group),
            others: Vec::new(),
            travel: Grid::default(),
            rows,
            parks: asks
                .iter()
                .any(|ask| ask.quantity == Quantity::ParkingTorque),
            gaps: Gaps::ALL.map(|gaps| {
                let asked = |ask: &Ask| sweeps_crank(ask) && Gaps::of(ask.quantity) == Some(gaps);
                asks.iter().any(asked)
            }),
            loaded: asks.iter().any(|ask| ask.over == Over::Cases),
            any: Layout::default(),
            mirrored: Layout::default(),
        };
        plan.any = plan.layout(asks, false);
        plan.mirrored = plan.layout(asks, true);
        let travels = asks.iter().flat_map(|ask| plan.travels(ask));
        plan.travel = Grid::new(Axis::Travel, &travels.collect::<Vec<_>>(), |mm| mm);
        plan.asks = asks.iter().map(|ask| plan.planned(ask)).collect();
        Ok(plan)
    }

    /// Travels that an ask takes, mm.
    fn travels(&self, ask: &Ask) -> Vec<f64> {
        let Over::Travel(range) = ask.over else {
            return Vec::new();
        };
        let range = match ask.quantity {
            // Parts that are even or odd in travel need both signs.
            Quantity::BumpSteerEven | Quantity::BumpSteerOdd => {
                let far = folded(range)[1];
                [-far, far]
            }
            _ => range,
        };
        places(range, self.settings.steps.travel_mm)
    }

    /// Leans that an ask takes straight, degrees.
    fn leans(&self, ask: &Ask, mirrored: bool) -> Vec<f64> {
        let Over::Lean(range) = ask.over else {
            return Vec::new();
        };
        let range = if mirrored { folded(range) } else { range };
        let step = match sweeps_crank(ask) {
            true => STOP_STEP_DEG,
            false => self.settings.steps.lean_deg,
        };
        places(range, step)
    }

    fn layout(&self, asks: &[Ask], mirrored: bool) -> Layout {
        let turns: &[Side] = match mirrored {
            true => &[Side::Right],
            false => &[Side::Right, Side::Left],
        };
        let mut leans: Vec<f64> = asks.iter().flat_map(|a| self.leans(a, mirrored)).collect();
        // Leaning into a right turn is positive.
        let into = |turn: Side, lean: f64| match turn {
            Side::Right => lean,
            Side::Left => -lean + 0.0,
        };
        for row in &self.rows {
            leans.extend(turns.iter().map(|&turn| into(turn, row.lean_deg)));
        }
        let lean = Grid::new(Axis::Lean { crank: 0.0 }, &leans, f64::to_radians);
        let pick = |at: f64| lean.halves.picks(&[at])[0];
        let mut layout = Layout::default();
        for (index, row) in self.rows.iter().enumerate() {
            for &turn in turns {
                let straight = pick(into(turn, row.lean_deg));
                layout.reach.push((index, straight, turn));
            }
        }
        for ask in asks.iter().filter(|ask| sweeps_crank(ask)) {
            for at in self.leans(ask, mirrored) {
                for turn in [Side::Right, Side::Left] {
                    let sweep = (pick(at), turn);
                    // Upright, the left turn of a symmetric machine mirrors the right one.
                    let spare = mirrored && at == 0.0 && turn == Side::Left;
                    if !spare && !layout.stops.contains(&sweep) {
                        layout.stops.push(sweep);
                    }
                }
            }
        }
        layout.lean = lean;
        layout
    }

    fn planned(&self, ask: &Ask) -> Planned {
        let layouts = [&self.any, &self.mirrored];
        let leans = [false, true].map(|mirrored| self.leans(ask, mirrored));
        let picks = |i: usize| layouts[i].lean.halves.picks(&leans[i]);
        let stops = |i: usize| match sweeps_crank(ask) {
            false => Vec::new(),
            true => {
                let picks = picks(i);
                let stands = |(at, _): &(Pick, Side)| picks.contains(at);
                let rows = layouts[i].stops.iter().enumerate();
                rows.filter(|(_, sweep)| stands(sweep))
                    .map(|(k, _)| k)
                    .collect()
            }
        };
        let cranks = |mirrored: bool| -> Vec<f64> {
            let range = match (ask.quantity, ask.over) {
                (Quantity::LeanRange, Over::Steer(range)) => range,
                (Quantity::LeanRange, _) => [0.0, 0.0],
                _ => return Vec::new(),
            };
            let range = if mirrored { folded(range) } else { range };
            places(range, LIMIT_STEP_DEG)
        };
        Planned {
            ask: *ask,
            picks: match ask.over {
                Over::Travel(_) => self.travel.halves.picks(&self.travels(ask)),
                _ => picks(0),
            },
            mirrored: picks(1),
            stops: [stops(0), stops(1)],
            cranks: [cranks(false), cranks(true)],
        }
    }
}

impl Grid {
    fn new(axis: Axis, places: &[f64], inner: fn(f64) -> f64) -> Grid {
        let mut halves = Halves::default();
        halves.add(places);
        let nodes = |list: &[f64]| list.iter().map(|&at| Node::new(axis, inner(at))).collect();
        Grid {
            up: nodes(&halves.up),
            down: nodes(&halves.down),
            halves,
        }
    }
}

/// The ask is taken with the masses of one state of loading, not with those of its whole group.
fn takes_one_state(ask: &Ask) -> bool {
    let info = ask.quantity.info();
    info.needs.masses()
        && !matches!(ask.quantity, Quantity::StubAxleMass)
        && !over_states(ask.quantity)
}

/// The ask is taken up to the steering stop at each lean of its range.
pub(super) fn sweeps_crank(ask: &Ask) -> bool {
    let link_angle = matches!(
        ask.quantity,
        Quantity::KnuckleAngle | Quantity::CrankAngleMargin | Quantity::TransmissionAngle
    );
    let gap = Gaps::of(ask.quantity).is_some();
    matches!(ask.over, Over::Lean(_)) && (link_angle || gap || at_stop(ask.quantity))
}
