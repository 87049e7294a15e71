//! Rules of joint limits that are given by bearing sizes.

use super::Rules;
use crate::fault::figure;

/// Checks the bearings of both kinds of joints.
pub(super) fn check(rules: &mut Rules) {
    for (block, degrees) in [
        ("ball_joint_bearing", "ball_joint_deg"),
        ("rod_end_bearing", "rod_end_deg"),
    ] {
        let at = format!("/limits/{block}");
        if rules.value.pointer(&at).is_none() {
            continue;
        }
        if rules.value.pointer(&format!("/limits/{degrees}")).is_some() {
            let message = format!("limits takes {block} or {degrees}, not both");
            rules.fault(&at, message, "one of the two");
        }
        sizes(rules, &at);
    }
}

/// The sizes of a bearing at a pointer leave it a tilt.
pub(super) fn sizes(rules: &mut Rules, at: &str) {
    let size = |name: &str| rules.number(&format!("{at}/{name}"));
    let sizes = ["ball_diameter_mm", "inner_width_mm", "outer_width_mm"].map(size);
    let [Some(ball), Some(inner), Some(outer)] = sizes else {
        return;
    };
    if inner > ball {
        let message = format!(
            "the inner ring is wider than its ball of {} mm",
            figure(ball)
        );
        let allowed = format!("at most {} mm", figure(ball));
        rules.fault(&format!("{at}/inner_width_mm"), message, &allowed);
    }
    if outer >= inner {
        let message = "the outer ring is as wide as the inner one: the joint cannot tilt";
        let allowed = format!("below {} mm", figure(inner));
        rules.fault(&format!("{at}/outer_width_mm"), message, &allowed);
    }
}
