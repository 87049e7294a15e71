//! Freedoms and holds as writes to coordinates of the machine, and the workshop's grid.

use crate::fault::Fault;
use crate::job::{Axis, Freedom, Job, PointFreedom};
use crate::parameter;
use crate::paths::{self, Path, Place};
use crate::vehicle::Vehicle;
use kinematics::Machine;
use search::Variable;

/// Coordinates that one offset moves together.
#[derive(Clone, Debug)]
pub(super) struct Move {
    /// The points as the job names them, the leading one first.
    pub paths: Vec<Path>,
    /// Which coordinate.
    pub axis: Axis,
    writes: Vec<Write>,
}

/// One coordinate of one point of one side.
#[derive(Clone, Copy, Debug)]
struct Write {
    place: Place,
    right: bool,
    /// −1 where the mirrored side moves the other way.
    sign: f64,
}

impl Move {
    /// Points that the vehicle gives. A point that the right side doesn't give itself moves on
    /// both sides.
    fn new(vehicle: &Vehicle, paths: Vec<Path>, axis: Axis) -> Move {
        let mut writes = Vec::new();
        for path in &paths {
            let write = |right, sign| Write {
                place: path.place,
                right,
                sign,
            };
            let sign = if axis == Axis::Y { -1.0 } else { 1.0 };
            writes.push(write(path.right, 1.0));
            if mirrored(vehicle, *path) {
                writes.push(write(true, sign));
            }
            if let Some(place) = paths::reflection(vehicle, path.place) {
                writes.push(Write {
                    place,
                    right: false,
                    sign,
                });
            }
        }
        Move {
            paths,
            axis,
            writes,
        }
    }

    /// No coordinate at all: a size of a part, see [`Compiled::bars`](super::Compiled::bars).
    fn nothing() -> Move {
        Move {
            paths: Vec::new(),
            axis: Axis::X,
            writes: Vec::new(),
        }
    }

    /// Its points of a cable drive, which the machine does not know.
    pub(super) fn cables(&self) -> impl Iterator<Item = Path> {
        let cables = self.paths.iter().copied();
        cables.filter(|path| matches!(path.place, Place::Cable(_)))
    }

    /// Adds an offset, mm.
    #[inline]
    pub(super) fn apply(&self, machine: &mut Machine, offset: f64) {
        for write in &self.writes {
            if let Some(point) = paths::in_machine(machine, write.place, write.right) {
                *self.axis.of(point) += write.sign * offset;
            }
        }
    }

    /// Takes the dust of decimal fractions off: coordinates are whole multiples of 1e-9 mm.
    #[inline]
    pub(super) fn tidy(&self, machine: &mut Machine) {
        for write in &self.writes {
            if let Some(point) = paths::in_machine(machine, write.place, write.right) {
                let coordinate = self.axis.of(point);
                *coordinate = tidy(*coordinate);
            }
        }
    }
}

/// The other side's point is the mirror image of this one.
pub(super) fn mirrored(vehicle: &Vehicle, path: Path) -> bool {
    let own = Path {
        right: true,
        ..path
    };
    path.place.sided() && !path.right && paths::get(vehicle, own).is_none()
}

/// The nearest whole multiple of 1e-9 mm, as the double nearest to its decimal form.
pub(super) fn tidy(x: f64) -> f64 {
    libm::round(x * 1e9) / 1e9 + 0.0
}

/// The moves of all freedoms.
pub(super) fn freedoms(job: &Job) -> Result<Vec<Move>, Vec<Fault>> {
    let one = |(i, f): (usize, &Freedom)| match f {
        Freedom::Choice(_) | Freedom::Joint(_) | Freedom::Direction(_) => Ok(Move::nothing()),
        Freedom::Point(f) => read(
            &job.vehicle,
            &f.point,
            &f.carries,
            f.axis,
            &format!("/freedoms/{i}"),
        ),
    };
    job.freedoms.iter().enumerate().map(one).collect()
}

/// One move, its points looked up in the vehicle.
pub(super) fn read(
    vehicle: &Vehicle,
    point: &str,
    carries: &[String],
    axis: Axis,
    pointer: &str,
) -> Result<Move, Vec<Fault>> {
    let given = |text: &str| {
        Path::parse(text)
            .filter(|path| paths::get(vehicle, *path).is_some())
            .ok_or_else(|| {
                vec![Fault {
                    pointer: pointer.to_owned(),
                    message: "this vehicle gives no such point".into(),
                    value: text.to_owned(),
                    allowed: "a point of the vehicle".into(),
                }]
            })
    };
    let names = core::iter::once(point).chain(carries.iter().map(String::as_str));
    let paths: Vec<Path> = names.map(given).collect::<Result<_, _>>()?;
    Ok(Move::new(vehicle, paths, axis))
}

/// The search's variable of a freedom: offsets in mm. With a grid the values of a coordinate are
/// the whole multiples of the grid inside the range; a size has those of its list.
pub(super) fn variable(job: &Job, freedom: &Freedom) -> Variable {
    match freedom {
        Freedom::Choice(_) | Freedom::Joint(_) => Variable::List(listed(job, freedom)),
        Freedom::Direction(f) => Variable::Grid {
            low: tidy(libm::ceil(f.offset_from_deg / TURN_STEP - 1e-9) * TURN_STEP),
            high: tidy(libm::floor(f.offset_to_deg / TURN_STEP + 1e-9) * TURN_STEP),
            step: TURN_STEP,
        },
        Freedom::Point(point) => {
            let (low, high) = ends(point, job.grid_mm);
            match job.grid_mm {
                Some(step) => Variable::Grid { low, high, step },
                None => Variable::Real { low, high },
            }
        }
    }
}

/// Step of directions, degrees.
const TURN_STEP: f64 = 0.5;

/// Offsets of a size's choices, mm, or of a joint's places in its list; none for a coordinate.
fn listed(job: &Job, freedom: &Freedom) -> Vec<f64> {
    let choice = match freedom {
        Freedom::Choice(choice) => choice,
        Freedom::Joint(f) => {
            let start = f.start(&job.vehicle);
            return (0..f.names.len()).map(|k| k as f64 - start).collect();
        }
        _ => return Vec::new(),
    };
    let start = parameter::get(&job.vehicle, &choice.parameter).unwrap_or(0.0);
    choice.choices.iter().map(|c| tidy(c - start)).collect()
}

fn ends(freedom: &PointFreedom, grid: Option<f64>) -> (f64, f64) {
    let (from, to) = (freedom.offset_from_mm, freedom.offset_to_mm);
    match grid {
        Some(g) => (
            tidy(libm::ceil(from / g - 1e-9) * g),
            tidy(libm::floor(to / g + 1e-9) * g),
        ),
        None => (from, to),
    }
}

/// The nearest value of a freedom's variable; of two as near, the larger size.
pub(super) fn round(job: &Job, freedom: &Freedom, x: f64) -> f64 {
    if let Freedom::Direction(f) = freedom {
        let inside = x.clamp(f.offset_from_deg, f.offset_to_deg);
        return tidy(libm::round(inside / TURN_STEP) * TURN_STEP)
            .clamp(f.offset_from_deg, f.offset_to_deg);
    }
    let Freedom::Point(point) = freedom else {
        let mut all = listed(job, freedom);
        all.sort_by(f64::total_cmp);
        let nearer = |a: &f64, b: &f64| (a - x).abs().total_cmp(&(b - x).abs());
        return all.into_iter().rev().min_by(nearer).unwrap_or(0.0);
    };
    let (low, high) = ends(point, job.grid_mm);
    let inside = x.clamp(low, high);
    match job.grid_mm {
        Some(g) => tidy(libm::round(inside / g) * g).clamp(low, high),
        None => inside,
    }
}
