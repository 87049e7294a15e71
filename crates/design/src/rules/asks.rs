//! Rules of requirements, goals, reach and hold values.

use super::Rules;
use crate::convert::over_field;
use crate::fault::figure;
use crate::tables::job::MOST_REQUIREMENTS;
use mechanics::{Needs, OverKind, Quantity, QuantityInfo};
use serde_json::Value;

/// Checks all rules of what is asked.
pub(crate) fn check(rules: &mut Rules) {
    for i in 0..rules.count("/requirements", MOST_REQUIREMENTS) {
        requirement(rules, &format!("/requirements/{i}"));
    }
    for i in 0..rules.count("/goals", 6) {
        goal(rules, i);
    }
    reach(rules, "/reach");
}

fn requirement(rules: &mut Rules, at: &str) {
    if rules.value.pointer(at).is_none_or(|v| !v.is_object()) {
        return;
    }
    let has = |rules: &Rules, name: &str| rules.value.pointer(&format!("{at}/{name}")).is_some();
    let (most, least) = (has(rules, "at_most"), has(rules, "at_least"));
    let within = has(rules, "within");
    if !(most || least || within) {
        rules.fault(
            at,
            "a requirement needs a limit",
            "at_most, at_least or within",
        );
    }
    if within && (most || least) {
        let message = "a requirement takes within or at_most and at_least, not both";
        rules.fault(&format!("{at}/within"), message, "one of the two forms");
    }
    let limits = rules
        .number(&format!("{at}/at_least"))
        .zip(rules.number(&format!("{at}/at_most")));
    if let Some((low, high)) = limits
        && low > high
    {
        let message = format!(
            "at_least ({}) is above at_most ({})",
            figure(low),
            figure(high)
        );
        rules.fault(
            &format!("{at}/at_least"),
            message,
            &format!("at most {}", figure(high)),
        );
    }
    quantity(rules, at, "quantity");
}

fn goal(rules: &mut Rules, i: usize) {
    let at = format!("/goals/{i}");
    let Some(goal) = rules.value.pointer(&at).filter(|v| v.is_object()) else {
        return;
    };
    match (
        goal.get("minimise").is_some(),
        goal.get("maximise").is_some(),
    ) {
        (true, false) => quantity(rules, &at, "minimise"),
        (false, true) => quantity(rules, &at, "maximise"),
        (true, true) => rules.fault(&at, "a goal cannot do both", "minimise or maximise"),
        (false, false) => rules.fault(&at, "a goal needs a quantity", "minimise or maximise"),
    }
    let same = (0..i).find(|j| rules.value.pointer(&format!("/goals/{j}")) == Some(goal));
    if let Some(other) = same {
        rules.fault(
            &at,
            format!("this goal stands already at /goals/{other}"),
            "each goal once",
        );
    }
}

/// The quantity's needs, and whether `over` fits it.
fn quantity(rules: &mut Rules, at: &str, field: &str) {
    let pointer = format!("{at}/{field}");
    let Some(quantity) = rules.text(&pointer).and_then(Quantity::from_name) else {
        return;
    };
    let info = quantity.info();
    needs_part(rules, &pointer, info);
    if info.needs.masses() && rules.value.pointer("/vehicle/masses").is_none() {
        let message = format!("{} needs the vehicle's masses", info.name);
        rules.fault(&pointer, message, "a vehicle with the block \"masses\"");
    }
    let over = format!("{at}/over");
    let Some(fields) = rules.value.pointer(&over).and_then(|v| v.as_object()) else {
        return;
    };
    let allowed: Vec<&str> = info.over.iter().copied().filter_map(over_field).collect();
    let words = match allowed.is_empty() {
        true if info.over == [OverKind::Cases] => {
            format!("no \"over\": {} is taken over the load cases", info.name)
        }
        true => format!("no \"over\": {} is taken in the design pose", info.name),
        false => format!("for {}: {}", info.name, allowed.join(" or ")),
    };
    let known = |name: &str| ["lean_deg", "steer_deg", "travel_mm", "reach"].contains(&name);
    let names: Vec<String> = fields.keys().filter(|k| known(k)).cloned().collect();
    for name in names
        .iter()
        .filter(|name| !allowed.contains(&name.as_str()))
    {
        let message = format!("{} is not taken over {name}", info.name);
        rules.fault(&format!("{over}/{name}"), message, &words);
    }
    if names.len() != 1 {
        let message = format!("\"over\" must name one range, not {}", names.len());
        rules.fault(&over, message, &words);
    }
    if rules.value.pointer(&format!("{over}/reach")) == Some(&false.into()) {
        rules.fault(
            &format!("{over}/reach"),
            "reach can only be true here",
            "true",
        );
    }
    singles(rules, &over, info.over);
}

/// The part that a quantity looks at stands in the vehicle.
fn needs_part(rules: &mut Rules, pointer: &str, info: &QuantityInfo) {
    let (place, block) = match info.needs {
        Needs::Nothing | Needs::Masses => return,
        // Joints of a catalogue have ratings of their own.
        Needs::Ratings if rules.value.pointer("/vehicle/joints").is_some() => return,
        Needs::Ratings => ("/vehicle/joint_ratings", "joint_ratings"),
        Needs::Rod => ("/vehicle/rods", "rods"),
        Needs::Legs => ("/vehicle/wishbone_legs", "wishbone_legs"),
        Needs::StubAxle => ("/vehicle/stub_axle", "stub_axle"),
        Needs::JointLimits => return joint_limits(rules, pointer, info),
        Needs::Joints => ("/vehicle/joints", "joints"),
        Needs::Body => ("/vehicle/shapes", "shapes"),
        Needs::Boxes => ("/vehicle/shapes/boxes", "shapes.boxes"),
        Needs::Cable => return needs_cable(rules, pointer, info),
    };
    let given = rules.value.pointer(place);
    let empty = |block: &Value| match block {
        Value::Object(fields) => fields.is_empty(),
        Value::Array(items) => items.is_empty(),
        _ => false,
    };
    if given.is_none_or(empty) {
        let message = format!("{} needs the vehicle's {block}", info.name);
        let allowed = format!("a vehicle with the block \"{block}\"");
        rules.fault(pointer, message, &allowed);
    }
}

/// Some joint of the vehicle has a limit.
fn joint_limits(rules: &mut Rules, pointer: &str, info: &QuantityInfo) {
    let general = ["ball_joint", "rod_end"].iter().any(|joint| {
        let limit = |unit| format!("/vehicle/limits/{joint}_{unit}");
        [limit("deg"), limit("bearing")]
            .iter()
            .any(|at| rules.value.pointer(at).is_some())
    });
    let chosen = rules.value.pointer("/vehicle/joints");
    let chosen = chosen
        .and_then(Value::as_object)
        .is_some_and(|o| !o.is_empty());
    if !general && !chosen {
        let message = format!("{} needs a limit of some joint", info.name);
        let allowed = "a vehicle with the block \"joints\", or with ball_joint_deg or rod_end_deg under \"limits\"";
        rules.fault(pointer, message, allowed);
    }
}

fn needs_cable(rules: &mut Rules, pointer: &str, info: &QuantityInfo) {
    if rules.text("/vehicle/steering/handlebar/kind") != Some("cable") {
        let message = format!("{} needs a cable drive", info.name);
        let allowed = "a vehicle whose steering has \"handlebar\": {\"kind\": \"cable\"}";
        rules.fault(pointer, message, allowed);
    }
}

/// A range over which a change is taken must hold more than one pose.
fn singles(rules: &mut Rules, over: &str, kinds: &[OverKind]) {
    for kind in kinds.iter().filter(|k| **k == OverKind::Travel) {
        let Some(field) = over_field(*kind) else {
            continue;
        };
        let pointer = format!("{over}/{field}");
        let range = rules
            .value
            .pointer(&pointer)
            .and_then(crate::check::numbers::<2>);
        if range.is_some_and(|[from, to]| from == to) {
            rules.fault(&pointer, "this range holds a single pose", "from below to");
        }
    }
}

/// A reach holds some pose.
pub(super) fn reach(rules: &mut Rules, at: &str) {
    let speed = rules
        .value
        .pointer(&format!("{at}/speed_mps"))
        .and_then(crate::check::numbers::<2>);
    let parking = rules
        .value
        .pointer(&format!("{at}/parking"))
        .and_then(|v| v.as_bool())
        .unwrap_or(true);
    let still = speed.is_some_and(|[_, fastest]| fastest <= 0.0);
    if still && !parking {
        let message = "reach holds no pose: no speed, and parking does not count";
        rules.fault(
            &format!("{at}/speed_mps"),
            message,
            "a fastest speed above 0 m/s, or parking true",
        );
    }
}
