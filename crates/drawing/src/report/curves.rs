//! The curves of a report: those of the assessments, one vehicle over another.

use super::draft::Draft;
use super::portrait::Portrait;
use crate::chart::{Chart, ChartLine, chart};
use crate::figure::{symbol, words};
use crate::ink::Dash;
use crate::picture::Picture;
use design::{Curve, Line};

/// Every curve of the last portrait, with the same curves of the others under it.
pub(super) fn curves<'a>(portraits: &'a [&'a Portrait]) -> Vec<Draft<'a>> {
    let last = portraits.last().into_iter();
    let all = last.flat_map(|last| &last.assessment.curves);
    all.flat_map(|curve| diagrams(portraits, curve)).collect()
}

/// The curves that stand for the rest where several candidates are shown at once.
pub(super) fn main_curves<'a>(portraits: &'a [&'a Portrait]) -> Vec<Draft<'a>> {
    const MAIN: [&str; 7] = [
        "toe_over_travel",
        "steer_over_lean",
        "error_over_steer",
        "ratio_over_steer",
        "frame_height_over_lean",
        "frame_pitch_over_lean",
        "rise_over_steer",
    ];
    let last = portraits.last().into_iter();
    let all = last.flat_map(|last| &last.assessment.curves);
    let main = all.filter(|c| MAIN.contains(&c.name.as_str()));
    main.flat_map(|curve| diagrams(portraits, curve)).collect()
}

fn diagrams<'a>(portraits: &'a [&'a Portrait], curve: &'a Curve) -> Vec<Draft<'a>> {
    let groups = groups(curve).into_iter().enumerate();
    groups
        .map(|(k, names)| {
            let name = match k {
                0 => curve.name.clone(),
                k => format!("{}_{}", curve.name, k + 1),
            };
            Draft::new(name, move || Some(diagram(portraits, curve, &names)))
        })
        .collect()
}

/// Lines that share a diagram: four lines make two diagrams, so that several vehicles over one
/// another stay legible.
fn groups(curve: &Curve) -> Vec<Vec<String>> {
    let names: Vec<String> = curve.lines.iter().map(|l| l.name.clone()).collect();
    let most = if names.len() == 4 {
        2
    } else {
        names.len().max(1)
    };
    names.chunks(most).map(<[String]>::to_vec).collect()
}

fn diagram(portraits: &[&Portrait], curve: &Curve, names: &[String]) -> Picture {
    let unit = curve.lines.first().map_or("", |l| l.unit.as_str());
    let mut lines = Vec::new();
    for portrait in portraits {
        let own = portrait
            .assessment
            .curves
            .iter()
            .find(|c| c.name == curve.name);
        for own in own.into_iter() {
            lines.extend(of_subject(portrait, own, names));
        }
    }
    let ordinate = match symbol(unit) {
        "" => spoken(names),
        symbol => format!("{}, {symbol}{}", spoken(names), sign(names)),
    };
    chart(&Chart {
        title: curve.title.clone(),
        ordinate,
        unit: unit.to_owned(),
        abscissa: named(&curve.x),
        ends: ends(&curve.x.name),
        reversed: curve.x.name.starts_with("steer"),
        least_span: least_span(unit),
        lines,
    })
}

/// The lines of one vehicle; lines that lie on one another become one.
fn of_subject(portrait: &Portrait, curve: &Curve, names: &[String]) -> Vec<ChartLine> {
    let mut lines: Vec<(Vec<&str>, &Line)> = Vec::new();
    for line in curve.lines.iter().filter(|l| names.contains(&l.name)) {
        match lines
            .iter_mut()
            .find(|(_, other)| same(&line.values, &other.values))
        {
            Some((also, _)) => also.push(&line.name),
            None => lines.push((vec![&line.name], line)),
        }
    }
    let alone = names.len() == 1;
    let place = |name: &str| names.iter().position(|n| n == name).unwrap_or(0);
    lines
        .into_iter()
        .map(|(also, line)| ChartLine {
            subject: portrait.label.clone(),
            part: if alone {
                String::new()
            } else {
                parts(&also, names)
            },
            ink: portrait.ink,
            dash: Dash::line(place(&line.name)),
            points: curve
                .x
                .values
                .iter()
                .zip(&line.values)
                .filter_map(point)
                .collect(),
        })
        .collect()
}

fn point((x, y): (&Option<f64>, &Option<f64>)) -> Option<(f64, Option<f64>)> {
    Some(((*x)?, *y))
}

fn same(a: &[Option<f64>], b: &[Option<f64>]) -> bool {
    let near = |(a, b): (&Option<f64>, &Option<f64>)| match (a, b) {
        (Some(a), Some(b)) => (a - b).abs() < 1e-6,
        (None, None) => true,
        _ => false,
    };
    a.len() == b.len() && a.iter().zip(b).all(near)
}

/// What tells lines apart: of `toe in left` and `toe in right`, `left` and `right`.
fn parts(also: &[&str], names: &[String]) -> String {
    let all: Vec<String> = names.iter().map(|n| words(n)).collect();
    let shared = |word: &str| all.iter().all(|n| n.split(' ').any(|w| w == word));
    let own = |name: &&str| {
        let words = words(name);
        let kept: Vec<&str> = words.split(' ').filter(|w| !shared(w)).collect();
        kept.join(" ")
    };
    also.iter().map(own).collect::<Vec<_>>().join(" and ")
}

/// The lines' names, what they share said once: `toe in left, right`.
fn spoken(names: &[String]) -> String {
    let Some((first, rest)) = names.split_first() else {
        return String::new();
    };
    let first = words(first);
    let stem = first.rsplit_once(' ').map_or("", |(stem, _)| stem);
    let rest = rest.iter().map(|n| {
        let name = words(n);
        let short = name.strip_prefix(stem).filter(|_| !stem.is_empty());
        short.map_or(name.clone(), |s| s.trim_start().to_owned())
    });
    let all: Vec<String> = std::iter::once(first.clone()).chain(rest).collect();
    all.join(", ")
}

/// What a positive value means, where a reader may doubt it.
fn sign(names: &[String]) -> &'static str {
    match names.first().map(String::as_str) {
        Some("steer_left_deg") => " (+ to the left)",
        Some("steer_common_deg") => " (+ to the left, + toe-in)",
        Some("toe_in_left_deg") => " (+ toe-in)",
        Some("error_deg") => " (+ too much toe-in)",
        Some("height_change_mm") => " (+ up)",
        Some("pitch_deg") => " (+ nose down)",
        Some("handlebar_torque_nm") => " (+ resists turning away)",
        _ => "",
    }
}

fn named(line: &Line) -> String {
    match symbol(&line.unit) {
        "" => words(&line.name),
        unit => format!("{}, {unit}", words(&line.name)),
    }
}

/// What the ends of an abscissa mean.
fn ends(name: &str) -> Option<[String; 2]> {
    let pair = |low: &str, high: &str| Some([low.to_owned(), high.to_owned()]);
    match name.split('_').next() {
        Some("lean") => pair("left", "right"),
        Some("travel") | Some("mean") => pair("wheels down", "wheels up"),
        Some("steer") => pair("right", "left"),
        _ => None,
    }
}

fn least_span(unit: &str) -> f64 {
    match unit {
        "deg" => 0.2,
        "mm" => 1.0,
        _ => 0.02,
    }
}
