//! Rules of freedoms and holds: what moves which coordinate.

use super::Rules;
use super::wheels::OFF_GROUND;
use crate::check::numbers;
use crate::fault::figure;
use crate::json::step;
use crate::nearest::suggestion;
use crate::parameter::{self, Size};
use crate::paths::{CablePoint, Path, Place};
use crate::tables::job::{MOST_CHOICES, MOST_FREEDOMS, MOST_HOLDS};
use crate::tables::parts::MOST;
use serde_json::Value;

/// One freedom or hold, as far as it can be read.
struct Move {
    /// Where it stands.
    pointer: String,
    /// Where its point stands.
    point_pointer: String,
    hold: bool,
    path: Path,
    axis: usize,
    carries: Vec<Path>,
}

/// Checks all rules of freedoms and holds.
pub(crate) fn check(rules: &mut Rules) {
    let freedoms = rules.count("/freedoms", MOST_FREEDOMS);
    let holds = rules.count("/holds", MOST_HOLDS);
    let mut moves = Vec::new();
    for i in 0..freedoms {
        super::joints::freedom(rules, i);
        super::directions::check(rules, i);
        choices(rules, i);
        ranges(rules, &format!("/freedoms/{i}"));
        moves.extend(read(rules, &format!("/freedoms/{i}"), "", false));
    }
    for i in 0..holds {
        moves.extend(read(rules, &format!("/holds/{i}"), "/by", true));
    }
    for (i, one) in moves.iter().enumerate() {
        points(rules, one);
        twice(rules, one, &moves[..i]);
        circle(rules, one, &moves);
        match one.hold {
            true => held_cables(rules, one),
            false => extent(rules, one),
        }
    }
}

fn read(rules: &Rules, pointer: &str, below: &str, hold: bool) -> Option<Move> {
    let at = format!("{pointer}{below}");
    let path = Path::parse(rules.text(&format!("{at}/point"))?)?;
    let axis = ["x", "y", "z"]
        .iter()
        .position(|a| rules.text(&format!("{at}/axis")) == Some(a))?;
    let carried = rules
        .value
        .pointer(&format!("{at}/carries"))
        .and_then(Value::as_array);
    let carries = carried.into_iter().flatten().take(32);
    Some(Move {
        pointer: pointer.to_owned(),
        point_pointer: format!("{at}/point"),
        hold,
        path,
        axis,
        carries: carries.filter_map(|c| Path::parse(c.as_str()?)).collect(),
    })
}

/// A freedom of choices names a size of this vehicle, once, and each choice once.
fn choices(rules: &mut Rules, i: usize) {
    let at = format!("/freedoms/{i}/parameter");
    let Some(path) = rules.text(&at).map(String::from) else {
        return;
    };
    // Joints have rules of their own.
    if rules
        .value
        .pointer(&format!("/freedoms/{i}/names"))
        .is_some()
    {
        return;
    }
    let sections = rules.count("/vehicle/stub_axle/sections", MOST);
    let known = parameter::all(sections, |at| {
        rules.value.pointer(&format!("/vehicle{at}")).is_some()
    });
    if !known.contains(&path) {
        let hint = suggestion(&path, known.iter().map(String::as_str));
        let allowed = match known.is_empty() {
            true => "a size of the vehicle's \"stub_axle\", \"rods\", \"wishbone_legs\" or cable \
                 sheaves, which it lacks"
                .into(),
            false => known.join(", "),
        };
        let message = format!("this vehicle has no size of this path{hint}");
        rules.fault(&at, message, &allowed);
    }
    let earlier = (0..i).find(|k| rules.text(&format!("/freedoms/{k}/parameter")) == Some(&path));
    if let Some(earlier) = earlier {
        let message = format!("this size is free already, by /freedoms/{earlier}");
        rules.fault(&at, message, "each size in one freedom only");
    }
    let list = format!("/freedoms/{i}/choices");
    let bounds = bounds(rules, &path);
    for k in 0..rules.count(&list, MOST_CHOICES) {
        let size = rules.number(&format!("{list}/{k}"));
        if size.is_some() && (0..k).any(|j| rules.number(&format!("{list}/{j}")) == size) {
            rules.fault(
                &format!("{list}/{k}"),
                "this size stands here twice",
                "each size once",
            );
        }
        let allowed = size.zip(bounds.as_ref()).filter(|(size, (bounds, _))| {
            let [low, high] = *bounds;
            *size <= low || *size > high
        });
        if let Some((_, (_, words))) = allowed {
            let message = format!("this size does not fit the part: {words}");
            rules.fault(&format!("{list}/{k}"), message, words);
        }
    }
}

/// What the rest of the part leaves for a size, mm (above the first, up to the second), in words.
fn bounds(rules: &Rules, path: &str) -> Option<([f64; 2], String)> {
    let number = |at: &str| rules.number(&format!("/vehicle/{at}"));
    let above = |at: &str| {
        let inner = number(at)?;
        let words = format!("above the inner diameter of {} mm", figure(inner));
        Some(([inner, f64::INFINITY], words))
    };
    match Size::parse(path)? {
        Size::Fillet(k) => {
            let length = number(&format!("stub_axle/sections/{k}/length_mm"))?;
            let words = format!("at most the section's length of {} mm", figure(length));
            Some(([0.0, length], words))
        }
        Size::Rods => above("rods/inner_diameter_mm"),
        Size::Legs => above("wishbone_legs/inner_diameter_mm"),
        Size::Diameter(_) | Size::Boss | Size::Sheave | Size::Driven => None,
    }
}

fn ranges(rules: &mut Rules, at: &str) {
    let ends = rules
        .number(&format!("{at}/offset_from_mm"))
        .zip(rules.number(&format!("{at}/offset_to_mm")));
    let Some((from, to)) = ends else { return };
    if from >= to {
        let message = format!(
            "the range of offsets is empty or inverted: from {} to {} mm",
            figure(from),
            figure(to)
        );
        return rules.fault(
            &format!("{at}/offset_from_mm"),
            message,
            "below offset_to_mm",
        );
    }
    let Some(grid) = rules.number("/grid_mm").filter(|g| *g > 0.0) else {
        return;
    };
    let steps = libm::floor(to / grid + 1e-9) - libm::ceil(from / grid - 1e-9);
    if steps < 1.0 {
        let message = format!(
            "the grid of {} mm is coarser than this range: it holds fewer than two grid points",
            figure(grid)
        );
        let allowed = "a range with at least two multiples of grid_mm";
        rules.fault(&format!("{at}/offset_to_mm"), message, allowed);
    }
}

/// The points exist in this vehicle, and none is named twice in one move.
fn points(rules: &mut Rules, one: &Move) {
    let carries_at = one.point_pointer.replace("/point", "/carries");
    exists(rules, one.path, &one.point_pointer);
    for (k, carried) in one.carries.iter().enumerate() {
        let at = format!("{carries_at}/{k}");
        exists(rules, *carried, &at);
        if *carried == one.path || one.carries[..k].contains(carried) {
            let message = format!("{} is named twice in one move", carried.text());
            rules.fault(&at, message, "each point once");
        }
    }
}

fn exists(rules: &mut Rules, path: Path, at: &str) {
    if rules
        .value
        .pointer(&format!("/vehicle{}", path.pointer()))
        .is_some()
    {
        return;
    }
    let message = format!("this vehicle gives no point {}", path.text());
    let allowed = match path.right {
        true => {
            "a point that stands under the vehicle's \"right\"; without right. it means both sides"
        }
        false => {
            "a point of the vehicle; those of a rocker need \"kind\": \"rocker\", and each \
             steering layout has its own"
        }
    };
    rules.fault(at, message, allowed);
}

/// No quantity that can be held hangs on the cables.
fn held_cables(rules: &mut Rules, one: &Move) {
    for path in core::iter::once(&one.path).chain(&one.carries) {
        if matches!(path.place, Place::Cable(_)) {
            let message = format!(
                "{} is a point of the cables, which solves no hold",
                path.text()
            );
            let allowed = "a point of the wheels, wishbones, steering or lean coupling";
            rules.fault(&one.point_pointer, message, allowed);
        }
    }
}

fn twice(rules: &mut Rules, one: &Move, before: &[Move]) {
    let same = |m: &&Move| m.path == one.path && m.axis == one.axis;
    let Some(other) = before.iter().find(same) else {
        return;
    };
    let message = match (one.hold, other.hold) {
        (false, _) => format!("this coordinate is free already, by {}", other.pointer),
        (true, false) => format!(
            "this coordinate is both free (by {}) and held",
            other.pointer
        ),
        (true, true) => format!("this coordinate is held already, by {}", other.pointer),
    };
    rules.fault(
        &one.point_pointer,
        message,
        "each coordinate in one freedom or one hold only",
    );
}

/// Carrying must not come back to where it started, along one axis.
fn circle(rules: &mut Rules, one: &Move, moves: &[Move]) {
    let mut open: Vec<Path> = one
        .carries
        .iter()
        .copied()
        .filter(|c| *c != one.path)
        .collect();
    let mut seen = open.clone();
    while let Some(path) = open.pop() {
        for next in moves
            .iter()
            .filter(|m| m.axis == one.axis && m.path == path)
        {
            if next.carries.contains(&one.path) {
                let message = format!(
                    "{} carries itself over {}: a circle",
                    one.path.text(),
                    next.pointer
                );
                let at = one.point_pointer.replace("/point", "/carries");
                return rules.fault(&at, message, "no two moves that carry each other");
            }
            let fresh: Vec<Path> = next
                .carries
                .iter()
                .copied()
                .filter(|c| !seen.contains(c))
                .collect();
            seen.extend(&fresh);
            open.extend(fresh);
        }
    }
}

/// A range must not take a point across the middle or a wheel off the ground.
fn extent(rules: &mut Rules, one: &Move) {
    for end in ["offset_from_mm", "offset_to_mm"] {
        let at = format!("{}{}", one.pointer, step(end));
        let Some(offset) = rules.number(&at) else {
            continue;
        };
        for path in core::iter::once(&one.path).chain(&one.carries) {
            let place = rules.value.pointer(&format!("/vehicle{}", path.pointer()));
            let Some(start) = place.and_then(numbers::<3>) else {
                continue;
            };
            let across = start[1] + offset;
            let crosses = if path.right {
                across > 0.0
            } else {
                across < 0.0
            };
            let sided = path.place.sided() || path.place == Place::Cable(CablePoint::Driven);
            if one.axis == 1 && sided && crosses {
                let message = format!("this offset takes {} across the middle", path.text());
                let allowed = format!(
                    "the point's y is {} mm; it stays on its side",
                    figure(start[1])
                );
                rules.fault(&at, message, &allowed);
            }
            let wheel = matches!(path.place, Place::WheelCentre | Place::RearCentre);
            if one.axis == 2 && wheel && offset.abs() > OFF_GROUND {
                let message = format!("this offset takes {} too far from the ground", path.text());
                rules.fault(
                    &at,
                    message,
                    &format!("from -{OFF_GROUND} to {OFF_GROUND} mm"),
                );
            }
        }
    }
}
