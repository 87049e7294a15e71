//! Rules of load cases, materials, stub axle, rods and states of loading.

use super::{Rules, wheels};
use crate::convert_parts::RELIABILITIES;
use crate::fault::figure;
use crate::nearest::suggestion;
use crate::shipped::shipped_names;
use crate::states::AS_DRAWN;
use crate::tables::parts::MOST;

/// Checks them all.
pub(super) fn check(rules: &mut Rules) {
    materials(rules);
    material_of(rules, "/stub_axle/material");
    for tube in ["/rods", "/wishbone_legs"] {
        material_of(rules, &format!("{tube}/material"));
        hollow(rules, tube);
    }
    sections(rules);
    bearings(rules);
    reliability(rules);
    spectra(rules);
    for i in 0..rules.count("/loadings", MOST) {
        wheels::centre_of_gravity(rules, &format!("/loadings/{i}/centre_of_gravity_mm"));
        super::asks::reach(rules, &format!("/loadings/{i}/reach"));
        held_by_rocker(rules, &format!("/loadings/{i}/mean_travel_mm"));
    }
    loading_names(rules);
    held_by_rocker(rules, "/masses/mean_travel_mm");
    held_by_rocker(rules, "/springs");
    if rules.value.pointer("/springs").is_some() && rules.value.pointer("/masses").is_none() {
        let message = "springs carry weight, and the vehicle gives no masses";
        rules.fault("/springs", message, "a vehicle with the block \"masses\"");
    }
    let stops = rules.value.pointer("/springs/stops_mm");
    let stops = stops.and_then(crate::check::numbers::<2>);
    if stops.is_some_and(|[droop, bump]| droop > 0.0 || bump < 0.0) {
        let message = "the design pose lies beyond a stop of the springs";
        rules.fault(
            "/springs/stops_mm",
            message,
            "from at most 0 to at least 0 mm",
        );
    }
}

/// States of loading stand beside that of the masses, each by a name of its own.
fn loading_names(rules: &mut Rules) {
    let count = rules.count("/loadings", MOST);
    if count > 0 && rules.value.pointer("/masses").is_none() {
        let message = "states of loading stand beside masses, and the vehicle gives none";
        rules.fault("/loadings", message, "a vehicle with the block \"masses\"");
    }
    let at = |i: usize| format!("/loadings/{i}/name");
    let name = |rules: &Rules, i: usize| rules.text(&at(i)).map(String::from);
    for i in 0..count {
        let own = name(rules, i);
        if own.as_deref() == Some(AS_DRAWN) {
            let message = "this name is that of the state that masses describes";
            rules.fault(&at(i), message, "another name");
        }
        if own.is_some() && (0..i).any(|k| name(rules, k) == own) {
            let message = "two states of loading have this name";
            rules.fault(&at(i), message, "each name once");
        }
    }
}

/// A rocker leaves no mean travel open.
fn held_by_rocker(rules: &mut Rules, at: &str) {
    let rocker = rules.text("/lean_coupling/kind") == Some("rocker");
    let zero = rules.number(at) == Some(0.0);
    if rocker && !zero && rules.value.pointer(at).is_some() {
        let message = "the rocker holds the mean travel of this machine";
        rules.fault(at, message, "only with the mean_travel coupling");
    }
}

fn own_names(rules: &Rules) -> Vec<String> {
    let count = rules.count("/materials", MOST);
    (0..count)
        .filter_map(|i| rules.text(&format!("/materials/{i}/name")))
        .map(String::from)
        .collect()
}

fn materials(rules: &mut Rules) {
    let names = own_names(rules);
    for i in 0..rules.count("/materials", MOST) {
        let at = |field: &str| format!("/materials/{i}/{field}");
        let name = rules.text(&at("name")).map(String::from);
        if name.is_some_and(|name| names.iter().filter(|n| **n == name).count() > 1) {
            let message = "two materials have this name";
            rules.fault(&at("name"), message, "each name once");
        }
        let strengths = rules
            .number(&at("yield_mpa"))
            .zip(rules.number(&at("ultimate_mpa")));
        if let Some((_, ultimate)) = strengths.filter(|(proof, ultimate)| proof > ultimate) {
            let message = "the yield strength is above the ultimate strength";
            let allowed = format!("at most {} MPa", figure(ultimate));
            rules.fault(&at("yield_mpa"), message, &allowed);
        }
        let fatigue = rules
            .number(&at("fatigue_mpa"))
            .zip(rules.number(&at("ultimate_mpa")));
        if let Some((_, ultimate)) = fatigue.filter(|(fatigue, ultimate)| fatigue >= ultimate) {
            let message = "the fatigue strength is not below the ultimate strength";
            let allowed = format!("below {} MPa", figure(ultimate));
            rules.fault(&at("fatigue_mpa"), message, &allowed);
        }
    }
}

fn material_of(rules: &mut Rules, at: &str) {
    let Some(name) = rules.text(at).map(String::from) else {
        return;
    };
    let own = own_names(rules);
    let known: Vec<&str> = own
        .iter()
        .map(String::as_str)
        .chain(shipped_names().map(|name| -> &str { name }))
        .collect();
    if known.contains(&name.as_str()) {
        return;
    }
    let hint = suggestion(&name, known.iter().copied());
    let message = format!("no material has this name{hint}");
    let allowed = known
        .iter()
        .map(|k| format!("\"{k}\""))
        .collect::<Vec<_>>()
        .join(", ");
    rules.fault(at, message, &allowed);
}

fn sections(rules: &mut Rules) {
    for i in 0..rules.count("/stub_axle/sections", MOST) {
        let at = |field: &str| format!("/stub_axle/sections/{i}/{field}");
        let sizes = rules
            .number(&at("fillet_mm"))
            .zip(rules.number(&at("length_mm")));
        if let Some((_, length)) = sizes.filter(|(fillet, length)| fillet > length) {
            let message = "the fillet is longer than its section";
            let allowed = format!("at most {} mm", figure(length));
            rules.fault(&at("fillet_mm"), message, &allowed);
        }
    }
}

fn bearings(rules: &mut Rules) {
    let count = rules.count("/stub_axle/sections", MOST);
    let lengths: Option<Vec<f64>> = (0..count)
        .map(|i| rules.number(&format!("/stub_axle/sections/{i}/length_mm")))
        .collect();
    let Some(length) = lengths.map(|all| all.iter().sum::<f64>()) else {
        return;
    };
    let at = |i: usize| format!("/stub_axle/bearings_mm/{i}");
    for (i, which) in ["inner", "outer"].into_iter().enumerate() {
        let place = rules.number(&at(i));
        if place.is_some_and(|place| place > length) {
            let message = format!("the {which} bearing sits outside the axle");
            let allowed = format!("from 0 to the axle's length of {} mm", figure(length));
            rules.fault(&at(i), message, &allowed);
        }
    }
    let places = rules.number(&at(0)).zip(rules.number(&at(1)));
    if places.is_some_and(|(inner, outer)| outer - inner < 1.0 && outer >= inner) {
        let message = "both bearings sit in one place, so that they hold no couple";
        rules.fault(&at(1), message, "at least 1 mm outside the inner bearing");
    }
}

fn reliability(rules: &mut Rules) {
    let at = "/stub_axle/reliability_percent";
    if rules
        .number(at)
        .is_some_and(|percent| !RELIABILITIES.contains(&percent))
    {
        let message = "there is no published factor for this reliability";
        rules.fault(at, message, "50, 90, 95, 99, 99.9 or 99.99");
    }
}

fn hollow(rules: &mut Rules, tube: &str) {
    let inner = format!("{tube}/inner_diameter_mm");
    let outer = rules.number(&format!("{tube}/outer_diameter_mm"));
    let sizes = rules.number(&inner).zip(outer);
    if let Some((_, outer)) = sizes.filter(|(inner, outer)| inner >= outer) {
        let message = "the inner diameter is not below the outer one";
        rules.fault(&inner, message, &format!("below {} mm", figure(outer)));
    }
}

/// The cycles of a load case stand in one place only.
fn spectra(rules: &mut Rules) {
    for i in 0..rules.count("/load_cases", MOST) {
        let cycles = format!("/load_cases/{i}/cycles");
        let steps = rules.count(&format!("/load_cases/{i}/spectrum"), MOST);
        if steps > 0 && rules.number(&cycles).is_some() {
            let message = "a load case takes cycles or spectrum, not both";
            rules.fault(&cycles, message, "one of the two");
        }
    }
}
