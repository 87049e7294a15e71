//! Tables for the bench: hardpoints with their changes, rods, held coordinates, set-up.

use super::asked::{axis, point_words, size_words};
use super::html::{Html, Table};
use super::portrait::Portrait;
use crate::figure::{capital, decimals, signed, symbol, value, with_unit, words};
use crate::view::point_names;
use design::{Candidate, Point, SideName, Steering, Stop};

/// Every point that the candidate moves, with its number in the views.
pub(super) fn moved(candidate: &Candidate) -> Html {
    let mut table = Table::new(
        "Moved hardpoints in mm: x forward, y left, z up, from the ground midway between the \
         front contacts; numbers as in the views. Of a point on both sides the left one is given",
    )
    .words("Point")
    .number("x")
    .number("y")
    .number("z")
    .number("Δx")
    .number("Δy")
    .number("Δz");
    let names = point_names(&design::machine(&candidate.vehicle));
    for point in &candidate.hardpoints {
        let number = names.iter().position(|p| *p == point.point);
        let number = number.map_or(String::new(), |k| format!("{} ", k + 1));
        let side = if point.mirrored { ", both sides" } else { "" };
        let text = format!("{number}{}{side}", capital(&point_words(&point.point)));
        let mut cells = vec![Html::text(&text)];
        cells.extend(coordinates(point.position_mm));
        cells.extend(point.offset_mm.map(|d| Html::text(&change(d))));
        table.row(cells);
    }
    table.finish()
}

/// A coordinate, mm: a held one is exact and shown to a hundredth.
fn coordinates(point: Point) -> [Html; 3] {
    point.map(|x| Html::text(&decimals(x, 2)))
}

fn change(offset: f64) -> String {
    if offset == 0.0 {
        "0".to_owned()
    } else {
        signed(offset, 2)
    }
}

/// Joints chosen from lists and directions that were turned; nothing where the job has none.
pub(super) fn joints(candidate: &Candidate) -> Html {
    if candidate.joints.is_empty() && candidate.directions.is_empty() {
        return Html::default();
    }
    let mut table = Table::new("Joints chosen from their lists, and directions of studs and bolts")
        .words("What")
        .words("submitted")
        .words("now");
    for joint in &candidate.joints {
        table.row(vec![
            Html::text(&capital(&size_words(&joint.parameter))),
            Html::text(&joint.submitted),
            Html::text(&joint.chosen),
        ]);
    }
    for one in &candidate.directions {
        let cell = |v: [f64; 3]| Html::text(&v.map(|x| decimals(x, 3)).join(", "));
        table.row(vec![
            Html::text(&capital(&size_words(&one.direction))),
            cell(one.submitted),
            cell(one.chosen),
        ]);
    }
    table.finish()
}

/// Sizes chosen from lists; nothing where the job has none.
pub(super) fn sizes(candidate: &Candidate) -> Html {
    if candidate.sizes.is_empty() {
        return Html::default();
    }
    let mut table = Table::new("Sizes chosen from their lists, mm")
        .words("Size")
        .number("submitted")
        .number("now");
    for size in &candidate.sizes {
        let cell = |x: f64| Html::text(&decimals(x, 1));
        table.row(vec![
            Html::text(&capital(&size_words(&size.parameter))),
            cell(size.submitted_mm),
            cell(size.chosen_mm),
        ]);
    }
    table.finish()
}

/// Lengths of the rods, before and now.
pub(super) fn rods(candidate: &Candidate, submitted: &Candidate) -> Html {
    let mut table = Table::new("Rods between the centres of their ends, mm; they set the toe")
        .words("Rod")
        .number("submitted")
        .number("now");
    let (old, new) = (&submitted.rod_lengths, &candidate.rod_lengths);
    let mut row = |name: &str, before: Option<f64>, now: Option<f64>| {
        if let Some((before, now)) = before.zip(now) {
            let cell = |x: f64| Html::text(&decimals(x, 2));
            table.row(vec![Html::text(name), cell(before), cell(now)]);
        }
    };
    let cross = matches!(candidate.vehicle.steering, Steering::CrossRod(_));
    if cross {
        row("Cross rod", Some(old.left_mm), Some(new.left_mm));
    } else {
        row("Left", Some(old.left_mm), Some(new.left_mm));
        row("Right", Some(old.right_mm), Some(new.right_mm));
    }
    row("Drag link", old.drag_link_mm, new.drag_link_mm);
    row(
        "Handlebar's drag link",
        old.handlebar_link_mm,
        new.handlebar_link_mm,
    );
    row("Centre link", old.centre_link_mm, new.centre_link_mm);
    table.finish()
}

/// Held quantities: the coordinate that holds them, and what the workshop's grid makes of it.
pub(super) fn holds(candidate: &Candidate) -> Html {
    let mut table = Table::new("Held exactly by one coordinate each")
        .words("Quantity")
        .number("held at")
        .words("By")
        .number("coordinate, mm")
        .number("on the grid, mm")
        .number("held value there");
    for hold in &candidate.holds {
        let grid = hold.on_grid.as_ref();
        let on = grid.map_or("–".to_owned(), |g| decimals(g.coordinate_mm, 2));
        let there = grid.map_or("–".to_owned(), |g| with_unit(g.value, &hold.unit));
        table.row(vec![
            Html::text(&capital(&words(&hold.quantity))),
            Html::text(&with_unit(hold.value, &hold.unit)),
            Html::text(&format!("{} {}", point_words(&hold.point), axis(hold.axis))),
            Html::text(&decimals(hold.coordinate_mm, 3)),
            Html::text(&on),
            Html::text(&there),
        ]);
    }
    table.finish()
}

/// Static set-up of both sides, of the first vehicle beside the second.
pub(super) fn set_up(before: Option<&Portrait>, now: &Portrait) -> Html {
    let symmetric = now.assessment.symmetric && before.is_none_or(|b| b.assessment.symmetric);
    let sides = if symmetric {
        "both sides alike"
    } else {
        "left, then right side"
    };
    let mut table = Table::new(&format!("Static set-up in the design pose, {sides}"))
        .words("Figure")
        .words("Side");
    if before.is_some() {
        table = table.number("submitted");
    }
    table = table.number("now").words("Unit");
    for side in &now.assessment.set_up {
        if symmetric && side.side == SideName::Right {
            continue;
        }
        for figure in &side.figures {
            let of = |p: &Portrait| {
                let found = p.assessment.set_up.iter().find(|s| s.side == side.side)?;
                found.figures.iter().find(|f| f.name == figure.name)?.value
            };
            let cell =
                |v: Option<f64>| Html::text(&v.map_or("–".to_owned(), |v| value(v, &figure.unit)));
            let name = match (symmetric, side.side) {
                (true, _) => "both",
                (_, SideName::Left) => "left",
                (_, SideName::Right) => "right",
            };
            let mut cells = vec![Html::text(&capital(&words(&figure.name))), Html::text(name)];
            cells.extend(before.map(|before| cell(of(before))));
            cells.extend([cell(of(now)), Html::text(symbol(&figure.unit))]);
            table.row(cells);
        }
    }
    table.finish()
}

/// What stops steering and lean.
pub(super) fn stops(portraits: &[&Portrait]) -> Html {
    let Some(last) = portraits.last() else {
        return Html::default();
    };
    let mut table = Table::new("First thing that stops each motion");
    table = table.words("Motion");
    for portrait in portraits {
        table = table.words(&portrait.label);
    }
    for stop in &last.assessment.stops {
        let mut cells = vec![Html::text(&capital(&stop.motion.replace('_', " ")))];
        for portrait in portraits {
            let same = portrait
                .assessment
                .stops
                .iter()
                .find(|s| s.motion == stop.motion);
            let text = same.map_or("–".to_owned(), stop_text);
            cells.push(Html::text(&text));
        }
        table.row(cells);
    }
    table.finish()
}

/// Where a motion stops and why. A steering stop is given by the mean of both wheels, so the
/// wheels' own angles stand beside it: the wheel lock is that of the inner one.
fn stop_text(stop: &Stop) -> String {
    let Some(at) = stop.at else {
        return stop.cause.clone();
    };
    let wheels = stop.inner_and_outer_deg.map_or(String::new(), |wheels| {
        let [inner, outer] = wheels.map(|angle| with_unit(angle, &stop.unit));
        format!(" as the mean of both wheels (inner {inner}, outer {outer})")
    });
    format!("{}{wheels}: {}", with_unit(at, &stop.unit), stop.cause)
}
