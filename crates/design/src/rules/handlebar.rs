//! Rules of the handlebar: arms and a link with length, and one ratio only.

use super::Rules;
use super::steering::{axis, point};
use super::vehicle::{COINCIDE, off_line};

/// Rules of the block that joins the handlebar to the crank.
pub(super) fn check(rules: &mut Rules) {
    let kind = rules.text("/steering/handlebar/kind").unwrap_or_default();
    match kind {
        "drag_link" => drag_link(rules),
        "cable" => cable(rules),
        _ => {}
    }
}

fn drag_link(rules: &mut Rules) {
    own_ratio(rules, "a drag link");
    let ends = [
        ("arm_end_mm", "/steering/handlebar", "handlebar's axis"),
        ("crank_end_mm", "/steering/crank", "crank's axis"),
    ];
    for (name, block, of) in ends {
        let at = format!("/steering/handlebar/{name}");
        if let Some((end, [on, along])) = point(rules, &at).zip(axis(rules, block))
            && off_line(end, on, along) < COINCIDE
        {
            let message = format!("the handlebar's drag link ends on the {of}");
            let allowed = format!("at least 1 mm away from the {of}");
            rules.fault(&at, message, &allowed);
        }
    }
    let [arm, crank] = ends.map(|(name, ..)| point(rules, &format!("/steering/handlebar/{name}")));
    if arm
        .zip(crank)
        .is_some_and(|(a, b)| (a - b).norm() < COINCIDE)
    {
        rules.fault(
            "/steering/handlebar/crank_end_mm",
            "both ends of the handlebar's drag link are in one place",
            "at least 1 mm away from arm_end_mm",
        );
    }
}

/// The ratio follows from the drive's own measures.
pub(super) fn own_ratio(rules: &mut Rules, what: &str) {
    let at = "/fittings/handlebar_per_crank";
    if rules.value.pointer(at).is_some() {
        let message = format!("the handlebar turns the crank by {what}, which sets its own ratio");
        rules.fault(at, message, "absent unless the handlebar is direct");
    }
}

fn cable(rules: &mut Rules) {
    own_ratio(rules, "cables");
    for run in ["left_run", "right_run"] {
        let list = format!("/steering/handlebar/{run}");
        for i in 0..rules.count(&list, mechanics::MOST_GUIDES) {
            guide(rules, &format!("{list}/{i}"));
        }
    }
}

/// A sheave has an axis and a sense; an eye has neither.
fn guide(rules: &mut Rules, at: &str) {
    let sheave = rules.number(&format!("{at}/radius_mm")).unwrap_or(0.0) > 0.0;
    for field in ["axis", "turn"] {
        let place = format!("{at}/{field}");
        match (sheave, rules.value.pointer(&place).is_some()) {
            (true, false) => {
                let message = format!("a sheave needs the field \"{field}\"");
                rules.fault(&place, message, "given where radius_mm is above 0");
            }
            (false, true) => {
                let message = format!("an eye has no {field}");
                rules.fault(&place, message, "absent unless radius_mm is above 0");
            }
            _ => {}
        }
    }
}
