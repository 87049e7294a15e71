//! What a vector chooses beside coordinates: sizes, joints, directions.

use super::moves::Move;
use super::{Compiled, Scratch, moves};
use crate::job::{ChoiceFreedom, Freedom};
use crate::parameter::Size;
use crate::vehicle::Vehicle;
use crate::{convert, convert_parts, parameter, paths};
use mechanics::Bars;

impl Compiled {
    /// The bars of a vector; nothing where the job chooses none of their sizes.
    pub(super) fn bars(&self, vector: &[f64]) -> Option<Bars> {
        let chosen = |f: &Freedom| matches!(f, Freedom::Choice(_));
        self.job.freedoms.iter().any(chosen).then(|| {
            let mut vehicle = self.job.vehicle.clone();
            self.choose(&mut vehicle, vector);
            convert_parts::bars(&vehicle)
        })
    }

    /// The settings of a vector where the job chooses joints, turns directions, moves cables, or
    /// chooses sizes that a clearance may hang on.
    pub(super) fn chosen(&self, vector: &[f64]) -> Option<mechanics::Settings> {
        let sized = self.job.vehicle.shapes.is_some();
        let cabled = |f: &ChoiceFreedom| Size::parse(&f.parameter).is_some_and(Size::of_cable);
        let chosen = |(f, moved): (&Freedom, &Move)| match f {
            Freedom::Point(_) => moved.cables().next().is_some(),
            Freedom::Choice(f) => sized || cabled(f),
            Freedom::Joint(_) | Freedom::Direction(_) => true,
        };
        let mut each = self.job.freedoms.iter().zip(&self.freedoms);
        each.any(chosen).then(|| {
            let mut vehicle = self.job.vehicle.clone();
            self.choose(&mut vehicle, vector);
            convert::settings(&vehicle, &self.job.reach)
        })
    }

    /// The settings of a vector: those of the job with what it chooses.
    pub(super) fn settings_at(&self, vector: &[f64]) -> mechanics::Settings {
        let chosen = self.chosen(vector);
        let mut settings = chosen.unwrap_or_else(|| self.plan.settings().clone());
        if let Some(bars) = self.bars(vector) {
            settings.parts.bars = bars;
        }
        settings
    }

    /// Writes the chosen sizes and the cables' points of a vector into a vehicle file.
    pub(super) fn choose(&self, vehicle: &mut Vehicle, vector: &[f64]) {
        let each = self.job.freedoms.iter().zip(&self.freedoms);
        for ((freedom, moved), offset) in each.zip(vector) {
            match freedom {
                Freedom::Point(_) => {
                    for path in moved.cables() {
                        if let Some(point) = paths::get_mut(vehicle, path) {
                            let coordinate = &mut point[moved.axis.index()];
                            *coordinate = moves::tidy(*coordinate + offset);
                        }
                    }
                }
                Freedom::Choice(choice) => {
                    if let Some(size) = parameter::get_mut(vehicle, &choice.parameter) {
                        *size = moves::tidy(*size + offset);
                    }
                }
                Freedom::Joint(f) => {
                    let place = libm::round(f.start(&self.job.vehicle) + offset);
                    let name = f.names.get(place.max(0.0) as usize);
                    let joint = parameter::joint_mut(vehicle, &f.parameter);
                    if let Some((name, joint)) = name.zip(joint) {
                        joint.clone_from(name);
                    }
                }
                Freedom::Direction(f) => {
                    if let Some(direction) = parameter::direction_mut(vehicle, &f.direction)
                        && *offset != 0.0
                    {
                        *direction = parameter::turned(*direction, f.about, *offset);
                    }
                }
            }
        }
    }

    /// Makes the next evaluation take what a vector chooses.
    pub(super) fn set_choice(&self, vector: &[f64], scratch: &mut Scratch) {
        scratch.plan.set_bars(self.bars(vector));
        scratch.chosen = self.chosen(vector);
        scratch.plan.set_choice(&self.plan, scratch.chosen.as_ref());
    }
}
