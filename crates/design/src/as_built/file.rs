//! A machine with sides of its own as a vehicle file.

use super::model::{Expected, Part};
use crate::fault::Fault;
use crate::paths::{self, Path};
use crate::vehicle::Vehicle;
use kinematics::{Machine, Wheel};
use serde_json::{Map, Value, json};

/// The vehicle file of a machine that came from another file: every point of both sides, and each
/// front wheel's toe and camber. What no point says stays as it is.
pub(super) fn vehicle(drawn: &Vehicle, machine: &Machine) -> Result<Vehicle, Vec<Fault>> {
    let unread = |error: serde_json::Error| {
        vec![Fault {
            pointer: "/vehicle".into(),
            message: format!("the fitted machine has no file: {error}"),
            value: String::new(),
            allowed: String::new(),
        }]
    };
    let mut file = serde_json::to_value(drawn).map_err(unread)?;
    let mut machine = *machine;
    for place in paths::places() {
        let left = Path {
            place,
            right: false,
        };
        if file.pointer(&left.pointer()).is_none() {
            continue;
        }
        for right in [false, true]
            .into_iter()
            .take(1 + usize::from(place.sided()))
        {
            if let Some(point) = paths::in_machine(&mut machine, place, right) {
                let point = point.to_array().map(|x| x + 0.0);
                set(&mut file, &Path { place, right }.pointer(), json!(point));
            }
        }
    }
    for (base, outward, wheel) in [
        ("", 1.0, &machine.left.wheel),
        ("/right", -1.0, &machine.right.wheel),
    ] {
        let [toe, camber] = toe_and_camber(wheel, outward);
        set(
            &mut file,
            &format!("{base}/front_wheels/toe_in_deg"),
            json!(toe),
        );
        set(
            &mut file,
            &format!("{base}/front_wheels/camber_deg"),
            json!(camber),
        );
    }
    serde_json::from_value(file).map_err(unread)
}

/// Of a spin axis that points left: outward (sin t·cos c, cos t·cos c, −sin c), mirrored.
fn toe_and_camber(wheel: &Wheel, outward: f64) -> [f64; 2] {
    let axis = wheel.axis.unit();
    let toe = libm::atan2(outward * axis.x, axis.y).to_degrees();
    let camber = -outward * libm::asin(axis.z.clamp(-1.0, 1.0)).to_degrees();
    [toe + 0.0, camber + 0.0]
}

/// Writes a value, making the objects on the way.
fn set(file: &mut Value, pointer: &str, value: Value) {
    let mut at = file;
    for step in pointer.split('/').skip(1) {
        if !at.is_object() {
            *at = Value::Object(Map::new());
        }
        at = &mut at[step];
    }
    *at = value;
}

/// The names of parts.
pub(super) fn names(parts: &[Expected]) -> Vec<String> {
    parts.iter().map(|e| Part::name(e.part)).collect()
}
