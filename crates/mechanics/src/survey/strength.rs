//! The load cases, the stub axle and the ride envelope of one machine in full.

use super::Survey;
use crate::candidate::{Candidate, SIDES};
use crate::loads::{Book, CornerForces, Loaded, Stance};
use crate::strength::{Criterion, Spot, StubAxle, miner, smallest_diameters};
use crate::{Masses, ride};
use kinematics::Side;

/// One load case in one turn with one wheel struck, solved.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CaseLoads {
    /// Index of the case.
    pub case: usize,
    /// Where the machine turns to; of no matter to a case that goes straight on.
    pub turn: Side,
    /// The wheel that is struck or brakes alone; of no matter to a case that means both.
    pub wheel: Side,
    /// Lean, degrees, positive right.
    pub lean_deg: f64,
    /// Crank angle, degrees.
    pub crank_deg: f64,
    /// Force of the ground on both front wheels, left first: along the axle outwards, up and
    /// forwards in directions fixed in the knuckle, N.
    pub wheels: [[f64; 3]; 2],
    /// Forces in the members, left first.
    pub members: [CornerForces; 2],
}

/// The stub axle at one spot in its worst load cases.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SpotSheet {
    /// The spot.
    pub spot: Spot,
    /// Smallest factor of safety by each criterion of [`Criterion::ALL`], each with its case.
    pub fatigue: [(f64, usize); 4],
    /// Smallest factor of safety against yield in the first cycle, with its case.
    pub first_cycle: (f64, usize),
    /// Miner's sum of the heavier loaded side.
    pub damage: f64,
}

/// One state of loading, standing and parked upright.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StandingLoads {
    /// Mean travel of the wheels, mm; `None` where the machine cannot stand there.
    pub mean_travel_mm: Option<f64>,
    /// Weight on the left front, right front and rear wheel on the level, N.
    pub level_n: [f64; 3],
    /// The same on the slope: nose up, nose down, left side up, right side up.
    pub parked_n: [[f64; 3]; 4],
}

/// Speeds at which a turn changes its nature, m/s: the smaller of both directions.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TurnSpeeds {
    /// Radius of the turn, m.
    pub radius_m: f64,
    /// The lean that balances the turn comes to its end.
    pub lean_stop_mps: f64,
    /// A wheel lifts, leaned to that end; the smallest over the states of loading.
    pub lift_mps: f64,
}

impl Survey<'_> {
    /// Every load case in every turn, with each wheel struck; empty without masses.
    pub fn load_cases(&self) -> Vec<CaseLoads> {
        let mut candidate = self.candidate();
        let book = self.book(&mut candidate);
        book.entries.iter().map(|e| shown(&candidate, e)).collect()
    }

    /// Both turns and both sides, also where half would tell all.
    fn book(&self, candidate: &mut Candidate) -> Book {
        candidate.symmetric = false;
        let mut book = Book::default();
        if let Some(masses) = &self.inner.fittings.masses {
            book.fill(candidate, &self.inner.parts.cases, masses);
        }
        book
    }

    /// Every spot of the stub axle; empty without masses or axle.
    pub fn axle_spots(&self) -> Vec<SpotSheet> {
        let mut candidate = self.candidate();
        let book = self.book(&mut candidate);
        let Some(axle) = candidate
            .bars
            .stub_axle
            .as_ref()
            .filter(|_| !book.entries.is_empty())
        else {
            return Vec::new();
        };
        (0..axle.spot_count())
            .map(|spot| self.sheet(&book, axle, spot))
            .collect()
    }

    /// The smallest standard diameters with which the stub axle keeps a factor of safety against
    /// fatigue and first yield in every load case; `None` where no bore of the list does.
    pub fn smallest_axle(&self, least_safety: f64) -> Option<StubAxle> {
        let mut candidate = self.candidate();
        let book = self.book(&mut candidate);
        let given = candidate
            .bars
            .stub_axle
            .as_ref()
            .filter(|_| !book.entries.is_empty())?;
        let own = Criterion::ALL.iter().position(|c| *c == given.criterion)?;
        smallest_diameters(given, |axle, spot| {
            let sheet = self.sheet(&book, axle, spot);
            sheet.fatigue[own].0.min(sheet.first_cycle.0) / least_safety
        })
    }

    fn sheet(&self, book: &Book, axle: &StubAxle, index: usize) -> SpotSheet {
        let spot = axle.spot(index);
        let line = axle.woehler_line(&spot);
        let mut sheet = SpotSheet {
            spot,
            fatigue: [(f64::INFINITY, 0); 4],
            first_cycle: (f64::INFINITY, 0),
            damage: 0.0,
        };
        let mut used = vec![[0.0_f64; 2]; self.inner.parts.cases.len()];
        for entry in &book.entries {
            let case = &self.inner.parts.cases[entry.case];
            for side in SIDES {
                let from = book.other_end(entry, side, case.cycle);
                let mut share = 0.0;
                for step in &case.spectrum {
                    let to = from.toward(&entry.axles[side as usize], step.share);
                    let stress = axle.stress(&spot, &from, &to).stress;
                    let strength = line.strength(step.cycles);
                    for (least, criterion) in sheet.fatigue.iter_mut().zip(Criterion::ALL) {
                        let safety = stress.safety(criterion, strength, &axle.material);
                        keep(least, safety, entry.case);
                    }
                    let safety = stress.yield_safety(&axle.material);
                    keep(&mut sheet.first_cycle, safety, entry.case);
                    share += miner([(stress, step.cycles)].into_iter(), &line, &axle.material);
                }
                let most = &mut used[entry.case][side as usize];
                *most = most.max(share);
            }
        }
        let sum = |side: usize| used.iter().map(|u| u[side]).sum::<f64>();
        sheet.damage = sum(0).max(sum(1)).min(crate::strength::MOST_DAMAGE);
        sheet
    }

    /// Wheel loads of every state of loading, that of the fittings first; empty without masses.
    pub fn standing_loads(&self) -> Vec<StandingLoads> {
        let slope = self.inner.parts.slope_deg.to_radians();
        let of = |candidate: &Candidate, masses: &Masses| {
            let stance = Stance::of(&candidate.zero.pose, masses);
            StandingLoads {
                mean_travel_mm: (!candidate.lost).then_some(candidate.zero.travel),
                level_n: stance.shares([0.0; 2]).map(|s| s * stance.weight),
                parked_n: stance.parked_loads(slope),
            }
        };
        let mut all = Vec::new();
        for candidate in self.loaded() {
            let states = ride::states(&candidate);
            all.extend(states.map(|(i, masses)| (i, of(&candidate, masses))));
        }
        all.sort_by_key(|(index, _)| *index);
        all.into_iter().map(|(_, loads)| loads).collect()
    }

    /// Speeds of turns; empty without masses.
    pub fn turn_speeds(&self, radii_m: &[f64]) -> Vec<TurnSpeeds> {
        if self.inner.fittings.masses.is_none() {
            return Vec::new();
        }
        let mut speeds: Vec<TurnSpeeds> = radii_m
            .iter()
            .map(|&radius_m| TurnSpeeds {
                radius_m,
                lean_stop_mps: f64::INFINITY,
                lift_mps: f64::INFINITY,
            })
            .collect();
        for candidate in self.loaded() {
            for sense in [1.0, -1.0] {
                let end = ride::lean_end(&candidate, sense);
                for at in &mut speeds {
                    let radius = at.radius_m;
                    at.lean_stop_mps = at.lean_stop_mps.min(ride::stop_speed(&end, radius));
                    for (_, masses) in ride::states(&candidate) {
                        let lift = ride::lift_speed(&end, masses, radius, sense);
                        at.lift_mps = at.lift_mps.min(lift);
                    }
                }
            }
        }
        speeds
    }
}

fn keep(least: &mut (f64, usize), value: f64, case: usize) {
    if value < least.0 {
        *least = (value, case);
    }
}

fn shown(candidate: &Candidate, entry: &Loaded) -> CaseLoads {
    let place = candidate.place(&entry.sample);
    CaseLoads {
        case: entry.case,
        turn: entry.turn,
        wheel: entry.wheel,
        lean_deg: place.lean_deg,
        crank_deg: place.steer_deg,
        wheels: entry
            .axles
            .map(|load| [load.axial, load.across[0], load.across[1]]),
        members: entry.members,
    }
}
