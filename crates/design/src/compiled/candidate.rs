//! A vector as a machine that can be read and built.

use super::holds::{Hold, Offsets};
use super::moves::{mirrored, tidy};
use super::readings::reading;
use super::rods::rod_lengths;
use super::{Compiled, Scratch};
use crate::answer::{
    Candidate, ChosenJoint, Hardpoint, HoldValue, OnGrid, QuantityValue, Size, TurnedDirection,
};
use crate::convert::side_name;
use crate::job::{Axis, Freedom};
use crate::parameter;
use crate::paths::{self, Path};
use crate::vehicle::{Point, Vehicle};
use kinematics::Machine;

impl Compiled {
    /// The machine of a vector with everything that is asked of it. The figures are those of
    /// [`Compiled::evaluate`] for the same vector; percentiles are given of infeasible drawings too.
    pub fn candidate(&self, vector: &[f64]) -> Candidate {
        let mut scratch = self.scratch();
        match self.machine(vector) {
            Ok((machine, offsets)) => self.read(vector, machine, offsets, &mut scratch),
            Err(why) => {
                let mut candidate = self.submitted();
                candidate.vector = vector.to_vec();
                candidate.feasible = false;
                candidate.failure = Some(why.to_string());
                candidate.goals.clear();
                candidate.requirements.clear();
                candidate
            }
        }
    }

    /// The vehicle as submitted: nothing moved, holds not solved.
    pub fn submitted(&self) -> Candidate {
        let vector = vec![0.0; self.freedoms.len()];
        self.read(&vector, self.base, Offsets::default(), &mut self.scratch())
    }

    fn read(
        &self,
        vector: &[f64],
        machine: Machine,
        offsets: Offsets,
        scratch: &mut Scratch,
    ) -> Candidate {
        self.set_choice(vector, scratch);
        let answered = self.answer_machine(&machine, scratch);
        let failure = answered.as_ref().err().map(|why| why.to_string());
        let met = |v: &f64| *v <= 0.0;
        let (mut goals, mut requirements) = match &answered {
            Ok(_) => (self.goal_values(scratch), self.requirement_values(scratch)),
            Err(_) => (Vec::new(), Vec::new()),
        };
        let judged = answered
            .as_ref()
            .map(|linkage| self.judge(linkage, scratch));
        if let (Some(robust), Ok(linkage)) = (&self.robust, &answered) {
            let drawn = (linkage, scratch.plan.bars(), scratch.chosen.as_ref());
            robust.read(&self.errors, drawn, &mut goals, &mut requirements);
        }
        let vehicle = self.vehicle(&machine, vector);
        let holds = self.holds.list().iter().zip(offsets).enumerate();
        Candidate {
            vector: vector.to_vec(),
            feasible: judged.is_ok_and(|e| e.violations.iter().all(met)),
            failure,
            goals,
            requirements,
            holds: holds
                .map(|(i, (hold, x))| self.hold_value(i, hold, x, &machine))
                .collect(),
            hardpoints: hardpoints(&self.job.vehicle, &vehicle),
            sizes: self.sizes(&vehicle),
            joints: self.joints(&vehicle),
            directions: self.directions(&vehicle),
            rod_lengths: rod_lengths(&machine),
            layout: self.place.clone(),
            vehicle,
            study: None,
        }
    }

    fn goal_values(&self, scratch: &Scratch) -> Vec<QuantityValue> {
        let one = |g: usize| {
            let ask = self.asked.goal_ask(g);
            let role = self.asked.goals[g].role;
            let (ask, answer) = (&self.asked.asks[ask], &scratch.answers[ask]);
            reading(ask, answer, role, None, &self.job.vehicle)
        };
        (0..self.asked.goals.len()).map(one).collect()
    }

    fn requirement_values(&self, scratch: &Scratch) -> Vec<QuantityValue> {
        let limits = self.asked.limits.iter();
        limits
            .map(|l| {
                let (ask, answer) = (&self.asked.asks[l.ask], &scratch.answers[l.ask]);
                reading(ask, answer, l.role(), Some(l.limit()), &self.job.vehicle)
            })
            .collect()
    }

    fn hold_value(&self, i: usize, hold: &Hold, offset: f64, machine: &Machine) -> HoldValue {
        let path = hold.by.paths[0];
        let start = paths::get(&self.job.vehicle, path).map_or(0.0, |p| p[hold.by.axis.index()]);
        let coordinate = coordinate(machine, path, hold.by.axis);
        HoldValue {
            quantity: hold.quantity.name().to_owned(),
            unit: super::asks::unit(hold.quantity).to_owned(),
            value: self.job.holds[i].value,
            reached: hold.reading(machine),
            side: side_name(hold.side),
            point: path.text(),
            axis: hold.by.axis,
            offset_mm: offset,
            coordinate_mm: coordinate,
            on_grid: self.job.grid_mm.map(|grid| {
                let target = tidy(start + libm::round((coordinate - start) / grid) * grid);
                let mut moved = *machine;
                hold.by.apply(&mut moved, target - coordinate);
                OnGrid {
                    coordinate_mm: target,
                    value: hold.reading(&moved),
                }
            }),
        }
    }

    /// The sizes that the job chooses, in its order.
    fn sizes(&self, vehicle: &Vehicle) -> Vec<Size> {
        let one = |freedom: &Freedom| match freedom {
            Freedom::Choice(choice) => Some(Size {
                parameter: choice.parameter.clone(),
                submitted_mm: parameter::get(&self.job.vehicle, &choice.parameter)?,
                chosen_mm: parameter::get(vehicle, &choice.parameter)?,
            }),
            _ => None,
        };
        self.job.freedoms.iter().filter_map(one).collect()
    }

    /// The joints that the job chooses, in its order.
    fn joints(&self, vehicle: &Vehicle) -> Vec<ChosenJoint> {
        let one = |freedom: &Freedom| {
            let Freedom::Joint(f) = freedom else {
                return None;
            };
            Some(ChosenJoint {
                parameter: f.parameter.clone(),
                submitted: parameter::joint(&self.job.vehicle, &f.parameter)?.clone(),
                chosen: parameter::joint(vehicle, &f.parameter)?.clone(),
            })
        };
        self.job.freedoms.iter().filter_map(one).collect()
    }

    /// The directions that the job turns, each once.
    fn directions(&self, vehicle: &Vehicle) -> Vec<TurnedDirection> {
        let mut all: Vec<TurnedDirection> = Vec::new();
        let (mut submitted, mut found) = (self.job.vehicle.clone(), vehicle.clone());
        for freedom in &self.job.freedoms {
            let Freedom::Direction(f) = freedom else {
                continue;
            };
            let both = parameter::direction_mut(&mut submitted, &f.direction)
                .zip(parameter::direction_mut(&mut found, &f.direction));
            if let Some((before, now)) = both
                && all.iter().all(|d| d.direction != f.direction)
            {
                all.push(TurnedDirection {
                    direction: f.direction.clone(),
                    submitted: *before,
                    chosen: *now,
                });
            }
        }
        all
    }

    /// The vehicle file of a machine: every moved point that the file gives, written over.
    fn vehicle(&self, machine: &Machine, vector: &[f64]) -> Vehicle {
        let mut vehicle = self.job.vehicle.clone();
        self.choose(&mut vehicle, vector);
        let moves = self
            .freedoms
            .iter()
            .chain(self.holds.list().iter().map(|h| &h.by));
        for path in moves.flat_map(|m| &m.paths) {
            let mut machine = *machine;
            let point = paths::in_machine(&mut machine, path.place, path.right);
            if let (Some(to), Some(from)) = (paths::get_mut(&mut vehicle, *path), point) {
                *to = from.to_array().map(|x| x + 0.0);
            }
        }
        vehicle
    }
}

fn coordinate(machine: &Machine, path: Path, axis: Axis) -> f64 {
    let mut machine = *machine;
    paths::in_machine(&mut machine, path.place, path.right).map_or(0.0, |point| *axis.of(point))
}

fn hardpoints(submitted: &Vehicle, vehicle: &Vehicle) -> Vec<Hardpoint> {
    let pairs = paths::given(submitted)
        .into_iter()
        .zip(paths::given(vehicle));
    pairs
        .filter(|((_, before), (_, after))| before != after)
        .map(|((path, before), (_, after))| Hardpoint {
            point: path.text(),
            mirrored: mirrored(submitted, path),
            submitted_mm: before,
            position_mm: after,
            offset_mm: difference(after, before),
        })
        .collect()
}

fn difference(a: Point, b: Point) -> Point {
    [0, 1, 2].map(|i| tidy(a[i] - b[i]))
}
