//! Rules of sizes and boxes that need no pose.

use super::Rules;
use crate::fault::figure;
use crate::tables::parts::MOST;

/// Checks them all.
pub(super) fn check(rules: &mut Rules) {
    names(rules);
    inside_wheel(rules);
    for drum in ["hub", "brake_disc"] {
        let at = format!("/front_wheels/{drum}/along_mm");
        let places = rules
            .value
            .pointer(&at)
            .and_then(crate::check::numbers::<2>);
        if places.is_some_and(|[from, to]| from == to) {
            rules.fault(&at, "this part has no length", "from below to");
        }
    }
}

fn names(rules: &mut Rules) {
    let count = rules.count("/shapes/boxes", MOST);
    let at = |i: usize| format!("/shapes/boxes/{i}/name");
    for i in 0..count {
        let name = rules.text(&at(i)).map(String::from);
        if name.is_some() && (0..i).any(|k| rules.text(&at(k)).map(String::from) == name) {
            rules.fault(&at(i), "two boxes have this name", "each name once");
        }
    }
}

/// A rim, hub or disc lies within the tyre's outer radius.
fn inside_wheel(rules: &mut Rules) {
    let Some(radius) = rules.number("/front_wheels/radius_mm") else {
        return;
    };
    for part in ["rim", "hub", "brake_disc"] {
        let at = format!("/front_wheels/{part}/radius_mm");
        if rules.number(&at).is_some_and(|own| own >= radius) {
            let message = "this part of the wheel is as large as its tyre";
            rules.fault(&at, message, &format!("below {} mm", figure(radius)));
        }
    }
    let rim = "/front_wheels/rim";
    let sizes = rules
        .number(&format!("{rim}/section_radius_mm"))
        .zip(rules.number(&format!("{rim}/radius_mm")));
    if let Some((_, outer)) = sizes.filter(|(section, outer)| section >= outer) {
        let message = "the section radius is not below the rim's radius";
        let allowed = format!("below {} mm", figure(outer));
        rules.fault(&format!("{rim}/section_radius_mm"), message, &allowed);
    }
}
