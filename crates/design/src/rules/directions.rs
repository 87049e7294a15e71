//! Rules of directions that a job may turn.

use super::Rules;
use crate::fault::figure;
use crate::parameter;

/// A direction that may be turned is given, once about each axis, and its range is none.
pub(super) fn check(rules: &mut Rules, i: usize) {
    let at = |field: &str| format!("/freedoms/{i}/{field}");
    let Some(path) = rules.text(&at("direction")).map(String::from) else {
        return;
    };
    let place = format!("/vehicle/{}", path.replace('.', "/"));
    if parameter::DIRECTIONS.contains(&path.as_str()) && rules.value.pointer(&place).is_none() {
        let message = "this vehicle gives no such direction";
        rules.fault(
            &at("direction"),
            message,
            "a direction under the vehicle's fittings",
        );
    }
    let about = |rules: &Rules, k: usize| {
        let text = |field| {
            rules
                .text(&format!("/freedoms/{k}/{field}"))
                .map(String::from)
        };
        (text("direction"), text("about"))
    };
    let own = about(rules, i);
    if let Some(earlier) = (0..i).find(|k| about(rules, *k) == own) {
        let message =
            format!("this direction turns about this axis already, by /freedoms/{earlier}");
        rules.fault(&at("about"), message, "each axis in one freedom only");
    }
    let ends = rules
        .number(&at("offset_from_deg"))
        .zip(rules.number(&at("offset_to_deg")));
    if let Some((from, to)) = ends.filter(|(from, to)| from >= to) {
        let message = format!(
            "the range of offsets is empty or inverted: from {} to {} degrees",
            figure(from),
            figure(to)
        );
        rules.fault(&at("offset_from_deg"), message, "below offset_to_deg");
    }
}
