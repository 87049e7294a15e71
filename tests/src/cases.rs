//! Recorded poses of outside references, and our answers to the same questions.

use crate::machine::machine;
use kinematics::{CornerPose, Linkage, Pose, Side, Target, V3};
use serde_json::{Value, json};

/// A target read from `{"lean_deg", "steer_deg", "mean_travel_mm"}`; the last may be null, and
/// a slider has `steer_mm`.
pub fn target_of(asked: &Value) -> Target {
    let angle = |name: &str| asked[name].as_f64().unwrap_or(f64::NAN).to_radians();
    Target {
        lean: angle("lean_deg"),
        steer: asked["steer_mm"]
            .as_f64()
            .unwrap_or_else(|| angle("steer_deg")),
        mean_travel: asked["mean_travel_mm"].as_f64(),
    }
}

/// Our pose for a case, in the form of `leanwright pose --json`, or `{"failure": …}`.
pub fn answer(case: &Value) -> Value {
    let linkage = match Linkage::new(&machine(&case["vehicle"])) {
        Ok(linkage) => linkage,
        Err(why) => return json!({ "failure": why.to_string() }),
    };
    match linkage.pose(&target_of(&case["target"])) {
        Ok(pose) => describe(&pose),
        Err(why) => json!({ "failure": why.to_string() }),
    }
}

/// A pose in the form of `leanwright pose --json`.
pub fn describe(pose: &Pose<f64>) -> Value {
    json!({
        "frame": {
            "height_change_mm": pose.height,
            "pitch_deg": libm::atan2(pose.pitch[0], pose.pitch[1]).to_degrees(),
        },
        "left": side(pose, Side::Left),
        "right": side(pose, Side::Right),
        "rear": { "contact_mm": on_ground(pose.rear_contact_ground) },
    })
}

fn side(pose: &Pose<f64>, side: Side) -> Value {
    let corner: &CornerPose<f64> = pose.corner(side);
    let place = |p: V3<f64>| p.to_array();
    json!({
        "contact_mm": on_ground(corner.contact_ground),
        "heading_deg": pose.steer_angle(side).to_degrees(),
        "inclination_deg": libm::asin(corner.inclination_sin).to_degrees(),
        "wheel_centre_mm": place(corner.centre),
        "lower_ball_joint_mm": place(corner.lower),
        "upper_ball_joint_mm": place(corner.upper),
        "rod_outer_mm": place(corner.rod_outer),
    })
}

fn on_ground(contact: [f64; 2]) -> [f64; 3] {
    [contact[0], contact[1], 0.0]
}

/// Largest difference between two poses of one form, as (mm, degrees); infinite where one
/// of them is not a pose.
pub fn difference(a: &Value, b: &Value) -> (f64, f64) {
    let (mut mm, mut degrees) = (0.0_f64, 0.0_f64);
    compare(a, b, "", &mut |name, gap| {
        let worst = if name.ends_with("_deg") {
            &mut degrees
        } else {
            &mut mm
        };
        *worst = if gap.is_nan() {
            f64::INFINITY
        } else {
            worst.max(gap)
        };
    });
    (mm, degrees)
}

/// Walks the reference `b` and reports every number's distance from its like in `a`.
fn compare(a: &Value, b: &Value, name: &str, report: &mut impl FnMut(&str, f64)) {
    match b {
        Value::Object(fields) => {
            for (key, inner) in fields {
                compare(&a[key.as_str()], inner, key, report);
            }
        }
        Value::Array(items) => {
            for (i, inner) in items.iter().enumerate() {
                compare(&a[i], inner, name, report);
            }
        }
        _ => {
            let gap = match (a.as_f64(), b.as_f64()) {
                (Some(x), Some(y)) => (x - y).abs(),
                _ => f64::NAN,
            };
            report(name, gap);
        }
    }
}
