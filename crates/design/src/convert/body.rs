//! Sizes and boxes of a vehicle to those of the mechanics, and the names of parts.

use super::DEGREE;
use crate::body::{BoxInput, CarriedWord, DrumInput, ShapesInput};
use crate::vehicle::Vehicle;
use kinematics::V3;
use mechanics::{Block, Body, Carries, Drum, FrameBox, Part, Rim, Stop};

/// Diameter of rods where nothing gives one, mm.
const ROD: f64 = 12.0;

/// The sizes of a vehicle that gives them.
pub(crate) fn body(vehicle: &Vehicle) -> Option<Body> {
    let shapes = vehicle.shapes.as_ref()?;
    let wheels = &vehicle.front_wheels;
    let rods = vehicle.rods.as_ref().map(|rods| rods.outer_diameter_mm);
    let drum = |d: &DrumInput| Drum {
        radius: d.radius_mm,
        along: d.along_mm,
    };
    Some(Body {
        rod_radius: 0.5 * shapes.rod_diameter_mm.or(rods).unwrap_or(ROD),
        leg_radius: 0.5 * shapes.wishbone_diameter_mm,
        link_radius: 0.5 * shapes.link_diameter_mm,
        rim: wheels.rim.as_ref().map(|rim| Rim {
            radius: rim.radius_mm,
            section_radius: rim.section_radius_mm,
        }),
        hub: wheels.hub.as_ref().map(drum),
        disc: wheels.brake_disc.as_ref().map(drum),
        caliper: wheels.caliper.as_ref().map(|c| {
            let turned = [c.yaw_deg, c.pitch_deg, c.roll_deg];
            block(c.centre_mm.into(), c.size_mm, turned)
        }),
        boxes: boxes(shapes),
        least_gap: vehicle.limits.least_clearance_mm,
    })
}

fn boxes(shapes: &ShapesInput) -> Vec<FrameBox> {
    let both = |b: &BoxInput| {
        let turned = [b.yaw_deg, b.pitch_deg, b.roll_deg];
        let own = FrameBox {
            block: block(b.centre_mm.into(), b.size_mm, turned),
            carries: carries(&b.carries),
        };
        let image = FrameBox {
            block: own.block.mirrored(),
            ..own
        };
        [Some(own), b.mirrored.then_some(image)]
    };
    shapes.boxes.iter().flat_map(both).flatten().collect()
}

/// Names of the boxes in the order of [`Body::boxes`], each with its index in the file.
pub(crate) fn box_names(vehicle: &Vehicle) -> Vec<(usize, String)> {
    let given = vehicle.shapes.iter().flat_map(|s| &s.boxes).enumerate();
    let named = |(i, b): (usize, &BoxInput)| {
        let sides = match b.centre_mm[1] < 0.0 {
            true => ["right", "left"],
            false => ["left", "right"],
        };
        match b.mirrored {
            true => sides.map(|side| format!("{side} {}", b.name)).to_vec(),
            false => vec![b.name.clone()],
        }
        .into_iter()
        .map(move |name| (i, name))
    };
    given.flat_map(named).collect()
}

/// The name of a part for people.
pub(crate) fn part_name(part: Part, vehicle: &Vehicle) -> String {
    match part {
        Part::Box(i) => match box_names(vehicle).into_iter().nth(i) {
            Some((_, name)) => name,
            None => part.to_string(),
        },
        other => other.to_string(),
    }
}

/// What stops steering or lean, for people.
pub(crate) fn stop_text(stop: Stop, vehicle: &Vehicle) -> String {
    match stop {
        Stop::Contact(pair) => {
            let [a, b] = pair.map(|part| part_name(part, vehicle));
            match vehicle.limits.least_clearance_mm {
                0.0 => format!("{a} meets {b}"),
                least if b != Part::Ground.to_string() => {
                    format!("{a} comes within {least} mm of {b}")
                }
                _ => format!("{a} meets {b}"),
            }
        }
        other => other.to_string(),
    }
}

fn carries(words: &[CarriedWord]) -> Carries {
    let has = |word| words.contains(&word);
    Carries {
        lower: has(CarriedWord::LowerWishbone),
        upper: has(CarriedWord::UpperWishbone),
        steering: has(CarriedWord::Steering),
        coupling: has(CarriedWord::LeanCoupling),
        rear_wheel: has(CarriedWord::RearWheel),
    }
}

/// A box turned by yaw, pitch and roll, in that order, about its own axes.
fn block(centre: V3<f64>, size: [f64; 3], turned_deg: [f64; 3]) -> Block {
    let [(sy, cy), (sp, cp), (sr, cr)] =
        turned_deg.map(|deg| (libm::sin(deg * DEGREE), libm::cos(deg * DEGREE)));
    Block {
        centre,
        axes: [
            V3::new(cy * cp, sy * cp, -sp),
            V3::new(cy * sp * sr - sy * cr, sy * sp * sr + cy * cr, cp * sr),
            V3::new(cy * sp * cr + sy * sr, sy * sp * cr - cy * sr, cp * cr),
        ],
        half: size.map(|mm| 0.5 * mm),
    }
}
