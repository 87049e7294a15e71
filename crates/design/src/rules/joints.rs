//! Rules of joints and their catalogue.

use super::{Rules, bearings};
use crate::joints::{PLACES, kinds};
use crate::nearest::suggestion;
use crate::shipped::shipped_joints;
use crate::tables::job::MOST_CHOICES;
use crate::tables::parts::MOST;

/// Checks them all.
pub(super) fn check(rules: &mut Rules) {
    for i in 0..rules.count("/joint_catalogue", MOST) {
        one(rules, i);
    }
    for (place, name) in PLACES.into_iter().enumerate() {
        chosen(rules, place, &format!("/joints/{name}"));
    }
}

fn one(rules: &mut Rules, i: usize) {
    let at = |field: &str| format!("/joint_catalogue/{i}/{field}");
    let name = |rules: &Rules, k: usize| {
        let at = format!("/joint_catalogue/{k}/name");
        rules.text(&at).map(String::from)
    };
    let own = name(rules, i);
    if own.is_some() && (0..i).any(|k| name(rules, k) == own) {
        rules.fault(&at("name"), "two joints have this name", "each name once");
    }
    let given = |rules: &Rules, field: &str| rules.value.pointer(&at(field)).is_some();
    match (given(rules, "angle_deg"), given(rules, "bearing")) {
        (true, true) => {
            let message = "a joint takes bearing or angle_deg, not both";
            rules.fault(&at("bearing"), message, "one of the two");
        }
        (false, false) => {
            let message = "nothing says what angle this joint allows";
            let at = format!("/joint_catalogue/{i}");
            rules.fault(&at, message, "angle_deg or bearing");
        }
        _ => bearings::sizes(rules, &at("bearing")),
    }
}

/// Name and kind of every joint that the vehicle may choose, its own first.
pub(super) fn known(rules: &Rules, base: &str) -> Vec<(String, String)> {
    let list = format!("{base}/joint_catalogue");
    let text = |at: String| rules.text(&at).map(String::from);
    let own = (0..rules.count(&list, MOST)).filter_map(|i| {
        let at = |field: &str| format!("{list}/{i}/{field}");
        Some((text(at("name"))?, text(at("kind"))?))
    });
    let kind = |kind| serde_json::to_value(kind).unwrap_or_default();
    let shipped = shipped_joints().iter().map(|j| {
        let kind = kind(j.kind).as_str().unwrap_or_default().to_owned();
        (j.name.clone(), kind)
    });
    own.chain(shipped).collect()
}

fn chosen(rules: &mut Rules, place: usize, at: &str) {
    let Some(name) = rules.text(at).map(String::from) else {
        return;
    };
    let joints = known(rules, "");
    fits(rules, at, &name, place, &joints);
}

/// A joint of this name is known and may stand at this place.
pub(super) fn fits(
    rules: &mut Rules,
    at: &str,
    name: &str,
    place: usize,
    joints: &[(String, String)],
) {
    let may = kinds(place);
    let fitting = || {
        joints
            .iter()
            .filter(|(_, kind)| may.contains(&kind.as_str()))
    };
    let names: Vec<&str> = fitting().map(|(name, _)| name.as_str()).collect();
    if names.contains(&name) {
        return;
    }
    let message = match joints.iter().find(|(known, _)| known == name) {
        Some((_, kind)) => format!("{} takes no {kind}", PLACES[place]),
        None => {
            let hint = suggestion(name, names.iter().copied());
            format!("no joint of the catalogue has this name{hint}")
        }
    };
    rules.fault(at, message, &names.join(", "));
}

/// A freedom of joints names a place of this vehicle, once, and known joints, each once.
pub(super) fn freedom(rules: &mut Rules, i: usize) {
    let at = |field: &str| format!("/freedoms/{i}/{field}");
    let names = at("names");
    let Some(path) = rules.text(&at("parameter")).map(String::from) else {
        return;
    };
    if rules.value.pointer(&names).is_none() {
        return;
    }
    let given = |place: &str| format!("/vehicle/joints/{place}");
    let Some(place) = crate::parameter::joint_place(&path) else {
        let known = PLACES.map(|place| format!("joints.{place}"));
        let hint = suggestion(&path, known.iter().map(String::as_str));
        let message = format!("there is no joint of this path{hint}");
        return rules.fault(&at("parameter"), message, &known.join(", "));
    };
    let own = rules.text(&given(PLACES[place])).map(String::from);
    if own.is_none() {
        let message = "this vehicle names no joint at this place";
        let allowed = format!("a vehicle with {} under \"joints\"", PLACES[place]);
        return rules.fault(&at("parameter"), message, &allowed);
    }
    let earlier = (0..i).find(|k| rules.text(&format!("/freedoms/{k}/parameter")) == Some(&path));
    if let Some(earlier) = earlier {
        let message = format!("this joint is free already, by /freedoms/{earlier}");
        rules.fault(&at("parameter"), message, "each joint in one freedom only");
    }
    let joints = known(rules, "/vehicle");
    let count = rules.count(&names, MOST_CHOICES);
    let name = |rules: &Rules, k: usize| rules.text(&format!("{names}/{k}")).map(String::from);
    for k in 0..count {
        let Some(one) = name(rules, k) else { continue };
        fits(rules, &format!("{names}/{k}"), &one, place, &joints);
        if (0..k).any(|j| name(rules, j).as_ref() == Some(&one)) {
            rules.fault(
                &format!("{names}/{k}"),
                "this joint stands here twice",
                "each joint once",
            );
        }
    }
    if (0..count).all(|k| name(rules, k) != own) {
        let message = "the submitted joint is not in this list";
        rules.fault(&names, message, &own.unwrap_or_default());
    }
}
