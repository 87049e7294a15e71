//! Tables and bars of quantities.

use super::asked::poses_text;
use super::html::{Html, Table};
use crate::bars::BarRow;
use crate::figure::{capital, decimals, difference, symbol, value, with_unit, words};
use design::{At, Candidate, Limit, QuantityValue, Role, SideName, WorstPose};

/// Name in words and the poses it is taken over.
pub(super) fn name(entry: &QuantityValue) -> String {
    let name = format!("{}{}", capital(&words(&entry.quantity)), built(entry.at));
    match poses_text(entry.over.as_ref()) {
        poses if poses.is_empty() => name,
        poses => format!("{name} ({poses})"),
    }
}

/// What stands behind the name of a quantity that is asked for at a percentile.
pub(super) fn built(at: Option<At>) -> &'static str {
    match at {
        Some(At::P95) => ", 95 % of machines built",
        None => "",
    }
}

/// A quantity in words with its poses, and whether it is a goal.
pub(super) fn wished(role: Role, name: &str, over: Option<&design::Over>) -> String {
    let goal = match role {
        Role::Minimise | Role::Maximise => ", a goal",
        _ => "",
    };
    match poses_text(over) {
        poses if poses.is_empty() => format!("{name}{goal}"),
        poses => format!("{name} ({poses}){goal}"),
    }
}

/// What is wanted of a quantity, in words.
pub(super) fn wish(entry: &QuantityValue) -> String {
    match entry.role {
        Role::Minimise => "small".to_owned(),
        Role::Maximise => "large".to_owned(),
        Role::Report => String::new(),
        Role::AtMost | Role::AtLeast | Role::Within => entry
            .limit
            .as_ref()
            .map_or(String::new(), |l| limit(l, &entry.unit)),
    }
}

fn limit(limit: &Limit, unit: &str) -> String {
    match (limit.at_least, limit.at_most) {
        (Some(low), Some(high)) => format!("{} to {}", with_unit(low, unit), with_unit(high, unit)),
        (Some(low), None) => format!("at least {}", with_unit(low, unit)),
        (None, Some(high)) => format!("at most {}", with_unit(high, unit)),
        (None, None) => String::new(),
    }
}

pub(super) fn shown(number: Option<f64>, unit: &str) -> Html {
    Html::text(&number.map_or("–".to_owned(), |v| value(v, unit)))
}

/// Where a value is taken, in the words of a rider: lean to a side, crank, travel.
pub(super) fn place(worst: &WorstPose) -> String {
    let mut parts = Vec::new();
    let lean = |deg: f64| match deg > 0.0 {
        true => format!("leaned {}° right", decimals(deg, 1)),
        false => format!("leaned {}° left", decimals(-deg, 1)),
    };
    if worst.lean_deg.abs() >= 0.05 {
        parts.push(lean(worst.lean_deg));
    }
    if worst.steer_deg.abs() >= 0.05 {
        parts.push(format!("crank {}°", decimals(worst.steer_deg, 1)));
    }
    if worst.travel_mm.abs() >= 0.05 {
        parts.push(format!("travel {} mm", decimals(worst.travel_mm, 1)));
    }
    if let Some(case) = worst.load_case {
        parts.push(format!("load case {}", case + 1));
    }
    if let Some(spot) = worst.axle_spot {
        parts.push(format!("spot {} of the stub axle", spot + 1));
    }
    if let Some(joint) = worst.joint {
        parts.push(words(&label(&joint)));
    }
    match worst.side {
        Some(SideName::Left) => parts.push("left side".to_owned()),
        Some(SideName::Right) => parts.push("right side".to_owned()),
        None => {}
    }
    parts.join(", ")
}

/// The name that a closed list of the wire gives to one of its members.
fn label<T: serde::Serialize>(member: &T) -> String {
    let value = serde_json::to_value(member).unwrap_or_default();
    value.as_str().unwrap_or_default().to_owned()
}

/// Goals and requirements of the candidate beside those of the submitted vehicle.
pub(super) fn result(candidate: &Candidate, submitted: &Candidate) -> Html {
    let mut table = Table::new("Goals and requirements; worst case over their poses")
        .words("Quantity")
        .words("Wanted")
        .number("submitted")
        .number("now")
        .words("Unit")
        .number("margin")
        .words("Taken where");
    for entry in asked(candidate) {
        let before = find(submitted, entry).and_then(|e| e.value);
        let broken = entry.margin.is_some_and(|m| m < 0.0) || entry.shortfall > 0.0;
        let margin = entry
            .margin
            .map_or(String::new(), |m| difference(m, &entry.unit));
        let margin = match broken {
            true => Html::within("span", "broken", Html::text(&format!("{margin} broken"))),
            false => Html::text(&margin),
        };
        table.row(vec![
            Html::text(&name(entry)),
            Html::text(&wish(entry)),
            shown(before, &entry.unit),
            Html::within("span", "now", shown(entry.value, &entry.unit)),
            Html::text(symbol(&entry.unit)),
            margin,
            Html::text(&taken(entry)),
        ]);
    }
    table.finish()
}

fn taken(entry: &QuantityValue) -> String {
    let mut parts = Vec::new();
    parts.extend(entry.worst.as_ref().map(place).filter(|p| !p.is_empty()));
    parts.extend(entry.state.clone());
    parts.extend(
        entry
            .between
            .as_ref()
            .map(|[a, b]| format!("between {a} and {b}")),
    );
    parts.extend(entry.cause.clone());
    if let Some(drawn) = entry.as_drawn {
        parts.push(format!("{} as drawn", with_unit(drawn, &entry.unit)));
    }
    if entry.shortfall > 0.0 {
        let share = decimals(100.0 * entry.shortfall, 1);
        parts.push(format!("{share} % of the asked poses are not reached"));
    }
    parts.join("; ")
}

/// Goals and requirements of a candidate, in order.
pub(super) fn asked(candidate: &Candidate) -> impl Iterator<Item = &QuantityValue> {
    candidate.goals.iter().chain(&candidate.requirements)
}

/// The same quantity, over the same poses, in the same role, at the same percentile.
pub(super) fn same(a: &QuantityValue, b: &QuantityValue) -> bool {
    (&a.quantity, a.over, a.role, a.at) == (&b.quantity, b.over, b.role, b.at)
}

/// The same of another candidate.
pub(super) fn find<'a>(other: &'a Candidate, entry: &QuantityValue) -> Option<&'a QuantityValue> {
    asked(other).find(|e| same(e, entry))
}

/// Rows for bars: the candidate's goals and requirements against the submitted vehicle's.
pub(super) fn bar_rows(candidate: &Candidate, submitted: &Candidate) -> Vec<BarRow> {
    asked(candidate)
        .map(|entry| {
            let limit = entry.limit.as_ref();
            let ends = limit.map_or([None, None], |l| [l.at_least, l.at_most]);
            let wish = wish(entry);
            let label = match entry.role {
                Role::Minimise | Role::Maximise => format!("{}, wanted {wish}", name(entry)),
                _ => format!("{}, {wish}", name(entry)),
            };
            BarRow {
                label,
                unit: entry.unit.clone(),
                before: find(submitted, entry).and_then(|e| e.value),
                after: entry.value,
                limits: ends.into_iter().flatten().collect(),
            }
        })
        .collect()
}
