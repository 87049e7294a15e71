//! Rules of what a fit of a machine as built is asked by.

use super::Rules;
use crate::nearest::suggestion;
use crate::paths::{self, Path};
use crate::tables::as_built::{MOST_MEASURED, MOST_READINGS, MOST_UNKNOWNS};

const ROD: &str = "rod_length";

/// Checks readings, unknowns and changes.
pub(crate) fn check(rules: &mut Rules) {
    for i in 0..rules.count("/readings", MOST_READINGS) {
        let at = format!("/readings/{i}");
        let figure = |name: &&str| rules.value.pointer(&format!("{at}/{name}")).is_some();
        let figures = [
            "toe_left_deg",
            "toe_right_deg",
            "camber_left_deg",
            "camber_right_deg",
            "height_mm",
        ];
        if !figures.iter().any(figure) {
            rules.fault(&at, "this reading holds no figure", &figures.join(", "));
        }
    }
    let points = measured(rules);
    let readings = rules.count("/readings", MOST_READINGS);
    let unknowns = rules.count("/unknowns", MOST_UNKNOWNS);
    if readings == 0 && points.is_empty() {
        let message = "there is neither a reading nor a measured point";
        rules.fault("/readings", message, "at least 1 reading or measured point");
    }
    if unknowns == 0 && points.is_empty() {
        let message = "nothing may deviate";
        rules.fault("/unknowns", message, "at least 1 unknown or measured point");
    }
    for list in ["/unknowns", "/changes"] {
        let mut seen = match list {
            "/unknowns" => points.clone(),
            _ => Vec::new(),
        };
        for i in 0..rules.count(list, MOST_UNKNOWNS) {
            unknown(rules, &format!("{list}/{i}"), &mut seen);
        }
    }
}

/// The coordinates of the measured points, as [`unknown`] keeps them; each point once, and one that
/// the vehicle has.
fn measured(rules: &mut Rules) -> Vec<(String, String, bool)> {
    let mut all: Vec<(String, String, bool)> = Vec::new();
    for i in 0..rules.count("/measured", MOST_MEASURED) {
        let at = format!("/measured/{i}/point");
        let Some(text) = rules.text(&at).map(str::to_owned) else {
            continue;
        };
        let Some(path) = Path::parse(&text).filter(Path::of_machine) else {
            let names = paths::of_machine();
            let hint = suggestion(&text, names.iter().map(String::as_str));
            let message = format!("no point of a vehicle has this path{hint}");
            rules.fault(&at, message, "a path of a point");
            continue;
        };
        let left = Path {
            right: false,
            ..path
        };
        let place = format!("/vehicle{}", left.pointer());
        if rules.value.pointer(&place).is_none() || path.right && !path.place.sided() {
            let message = format!("this vehicle has no point {text}");
            rules.fault(&at, message, "a point of the vehicle");
        }
        let of = left.text();
        if all
            .iter()
            .any(|(known, _, right)| *known == of && *right == path.right)
        {
            rules.fault(
                &at,
                format!("{text} stands here already"),
                "each point once",
            );
        }
        all.extend(["x", "y", "z"].map(|axis| (of.clone(), axis.to_owned(), path.right)));
    }
    all
}

fn unknown(rules: &mut Rules, at: &str, seen: &mut Vec<(String, String, bool)>) {
    let text = |rules: &Rules, name: &str| rules.text(&format!("{at}/{name}")).map(str::to_owned);
    let Some(of) = text(rules, "of") else { return };
    let axis = text(rules, "axis");
    let path = Path::parse(&of).filter(|path| !path.right && path.of_machine());
    if path.is_none() && of != ROD {
        let names = paths::of_machine();
        let known = names
            .iter()
            .map(String::as_str)
            .filter(|n| !n.starts_with("right."));
        let hint = suggestion(&of, known.chain([ROD]));
        let message = format!("no point of a vehicle has this path{hint}");
        return rules.fault(
            &format!("{at}/of"),
            message,
            "a path without right., or rod_length",
        );
    }
    if let Some(path) = path {
        if rules
            .value
            .pointer(&format!("/vehicle{}", path.pointer()))
            .is_none()
        {
            let message = format!("this vehicle has no point {of}");
            rules.fault(&format!("{at}/of"), message, "a point of the vehicle");
        }
        if axis.is_none() {
            rules.fault(at, "a point needs an axis", "\"axis\": x, y or z");
        }
    } else if axis.is_some() {
        rules.fault(&format!("{at}/axis"), "a rod has no axis", "no axis");
    }
    let side = text(rules, "side");
    let sided = path.is_none_or(|path| path.place.sided());
    if !sided && side.is_some() {
        let message = format!("{of} belongs to no side");
        rules.fault(&format!("{at}/side"), message, "no side");
    }
    let rights = match side.as_deref() {
        Some("left") => vec![false],
        Some("right") => vec![true],
        _ if !sided => vec![false],
        _ => vec![false, true],
    };
    for right in rights {
        let one = (of.clone(), axis.clone().unwrap_or_default(), right);
        if seen.contains(&one) {
            let message = format!("{of} stands here already, or was measured");
            return rules.fault(at, message, "each number once");
        }
        seen.push(one);
    }
    let numbers = ["sigma_mm", "most_mm"].map(|n| rules.number(&format!("{at}/{n}")));
    if let [Some(sigma), Some(most)] = numbers
        && most < sigma
    {
        let message = "the bound lies within one standard deviation";
        rules.fault(&format!("{at}/most_mm"), message, "at least sigma_mm");
    }
}
