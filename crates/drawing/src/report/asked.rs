//! What was asked: goals, requirements, holds, freedoms, reach.

use super::html::{Html, Table};
use super::values::built;
use crate::figure::{capital, decimals, signed, with_unit, words};
use design::{Axis, Finding, Freedom, Job, Over, Reach};

/// The job in words and tables.
pub(super) fn asked(job: &Job, findings: &[Finding]) -> Html {
    let mut out = Html::default();
    out.push(wishes(job));
    for layout in 0..job.layout_count() {
        if job.layout_count() > 1 {
            out.subheading(&format!("Layout: {}", job.layout_name(layout)));
        }
        let alone = job.of_layout(layout);
        out.push(freedoms(&alone));
        if layout > 0 && !alone.holds.is_empty() {
            out.push(holds(&alone));
        }
    }
    out.paragraph(&reach(&job.reach));
    out.paragraph(&budget(job));
    if !findings.is_empty() {
        out.subheading("Noticed before the search");
        out.list(
            findings
                .iter()
                .map(|f| format!("{}: {}.", f.pointer, f.message)),
        );
    }
    out
}

fn wishes(job: &Job) -> Html {
    let mut table = Table::new("Goals, requirements and holds")
        .words("Quantity")
        .words("Wanted")
        .words("Over");
    for goal in &job.goals {
        let (name, wish) = match (&goal.minimise, &goal.maximise) {
            (Some(name), _) => (name, "as small as possible"),
            (None, Some(name)) => (name, "as large as possible"),
            (None, None) => continue,
        };
        let wish = format!("{wish}{}", built(goal.at));
        table.row(vec![
            quantity(name),
            Html::text(&wish),
            poses(goal.over.as_ref()),
        ]);
    }
    for requirement in &job.requirements {
        let unit = unit_of(&requirement.quantity);
        let show = |v: f64| with_unit(v, unit);
        let wish = match (
            requirement.at_least,
            requirement.at_most,
            requirement.within,
        ) {
            (_, _, Some([low, high])) => format!("{} to {}", show(low), show(high)),
            (Some(low), Some(high), None) => format!("{} to {}", show(low), show(high)),
            (Some(low), None, None) => format!("at least {}", show(low)),
            (None, Some(high), None) => format!("at most {}", show(high)),
            (None, None, None) => continue,
        };
        let wish = format!("{wish}{}", built(requirement.at));
        let over = poses(requirement.over.as_ref());
        table.row(vec![
            quantity(&requirement.quantity),
            Html::text(&wish),
            over,
        ]);
    }
    hold_rows(job, &mut table);
    table.finish()
}

fn hold_rows(job: &Job, table: &mut Table) {
    for hold in &job.holds {
        let value = with_unit(hold.value, unit_of(&hold.quantity));
        let by = format!("{} {}", point_words(&hold.by.point), axis(hold.by.axis));
        let wish = format!("held at {value} by moving {by}");
        table.row(vec![
            quantity(&hold.quantity),
            Html::text(&wish),
            Html::text("design pose"),
        ]);
    }
}

/// Holds of a further layout.
fn holds(job: &Job) -> Html {
    let mut table = Table::new("Holds of this layout")
        .words("Quantity")
        .words("Wanted")
        .words("Over");
    hold_rows(job, &mut table);
    table.finish()
}

fn freedoms(job: &Job) -> Html {
    let grid = job.grid_mm.map_or(String::new(), |grid| {
        format!(", in steps of {} mm", trimmed(grid))
    });
    let mut table = Table::new(&format!(
        "What may move, offsets from the submitted vehicle in mm{grid}"
    ))
    .words("Point")
    .words("Axis")
    .number("from")
    .number("to")
    .words("Moves along");
    for freedom in &job.freedoms {
        let freedom = match freedom {
            Freedom::Point(freedom) => freedom,
            Freedom::Choice(choice) => {
                let all: Vec<String> = choice.choices.iter().map(|c| trimmed(*c)).collect();
                let mut row = vec![Html::text(&capital(&size_words(&choice.parameter)))];
                let list = format!("one of {} mm", all.join(", "));
                row.extend(["", "", "", &list].map(Html::text));
                table.row(row);
                continue;
            }
            Freedom::Joint(f) => {
                let mut row = vec![Html::text(&capital(&size_words(&f.parameter)))];
                let list = format!("one of {}", f.names.join(", "));
                row.extend(["", "", "", &list].map(Html::text));
                table.row(row);
                continue;
            }
            Freedom::Direction(f) => {
                table.row(vec![
                    Html::text(&capital(&size_words(&f.direction))),
                    Html::text(&format!("about {}", axis(f.about))),
                    Html::text(&format!("{}°", signed(f.offset_from_deg, 1))),
                    Html::text(&format!("{}°", signed(f.offset_to_deg, 1))),
                    Html::text(""),
                ]);
                continue;
            }
        };
        let carried: Vec<String> = freedom.carries.iter().map(|p| point_words(p)).collect();
        table.row(vec![
            Html::text(&capital(&point_words(&freedom.point))),
            Html::text(axis(freedom.axis)),
            Html::text(&signed(freedom.offset_from_mm, 1)),
            Html::text(&signed(freedom.offset_to_mm, 1)),
            Html::text(&carried.join(", ")),
        ]);
    }
    table.finish()
}

fn reach(reach: &Reach) -> String {
    let [slow, fast] = reach.speed_mps.map(trimmed);
    let [tight, wide] = reach.radius_m.map(trimmed);
    let parking = if reach.parking {
        "; steering at a standstill, upright, counts too"
    } else {
        ""
    };
    format!(
        "Reach, the corners that the rider meets: balanced turns at {slow} to {fast} m/s on radii \
         of {tight} to {wide} m, up to {}° of lean{parking}.",
        trimmed(reach.lean_limit_deg)
    )
}

fn budget(job: &Job) -> String {
    let search = &job.search;
    let islands = match search.islands {
        1 => "1 island".to_owned(),
        several => format!("{several} islands"),
    };
    format!(
        "Search: {} evaluations on {islands}{}, seed {}.",
        search.evaluations,
        match job.layout_count() {
            1 => "",
            _ => " of each layout",
        },
        search.seed
    )
}

fn quantity(name: &str) -> Html {
    Html::text(&capital(&words(name)))
}

/// The unit at the end of a quantity's name, as files write it.
pub(super) fn unit_of(name: &str) -> &'static str {
    match mechanics::Quantity::from_name(name) {
        Some(quantity) => quantity.info().unit.symbol(),
        None => "",
    }
}

/// A range of poses for a reader.
pub(super) fn poses(over: Option<&Over>) -> Html {
    Html::text(&poses_text(over))
}

pub(super) fn poses_text(over: Option<&Over>) -> String {
    let Some(over) = over else {
        return String::new();
    };
    let range = |name: &str, unit: &str, range: Option<[f64; 2]>| {
        range.map(|[low, high]| match low == high {
            true => format!("{name} {}{unit}", trimmed(low)),
            false => format!("{name} {} to {}{unit}", trimmed(low), trimmed(high)),
        })
    };
    let parts = [
        range("lean", "°", over.lean_deg),
        range("crank", "°", over.steer_deg),
        range("travel", " mm", over.travel_mm),
        (over.reach == Some(true)).then(|| "reach".to_owned()),
    ];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// The path of a point as words: `steering.rod_outer_mm` becomes `steering: rod outer`.
pub(super) fn point_words(path: &str) -> String {
    let parts: Vec<String> = path.split('.').map(words).collect();
    match parts.as_slice() {
        [] => String::new(),
        [one] => one.clone(),
        [first, rest @ ..] => format!("{first}: {}", rest.join(" ")),
    }
}

/// The size of a path in words.
pub(super) fn size_words(path: &str) -> String {
    let section = path
        .strip_prefix("stub_axle.sections.")
        .and_then(|rest| rest.split_once('.'))
        .and_then(|(index, field)| Some((index.parse::<usize>().ok()? + 1, field)));
    match (section, path) {
        (Some((number, "fillet_mm")), _) => format!("stub axle, fillet of section {number}"),
        (Some((number, _)), _) => format!("stub axle, diameter of section {number}"),
        (_, "stub_axle.boss_diameter_mm") => "stub axle, diameter of the boss".to_owned(),
        (_, "rods.outer_diameter_mm") => "rods, outer diameter".to_owned(),
        (_, "wishbone_legs.outer_diameter_mm") => {
            "legs of the wishbones, outer diameter".to_owned()
        }
        _ => match path.split_once('.') {
            Some(("joints" | "fittings", name)) => name.replace('_', " "),
            _ => path.to_owned(),
        },
    }
}

pub(super) fn axis(axis: Axis) -> &'static str {
    match axis {
        Axis::X => "x",
        Axis::Y => "y",
        Axis::Z => "z",
    }
}

/// A number as given, without needless zeros.
pub(super) fn trimmed(x: f64) -> String {
    let text = decimals(x, 3);
    let text = text.trim_end_matches('0').trim_end_matches('.');
    text.to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_for_readers() {
        assert_eq!(point_words("steering.rod_outer_mm"), "steering: rod outer");
        assert_eq!(
            point_words("steering.crank.point_mm"),
            "steering: crank point"
        );
        assert_eq!(trimmed(-12.0), "−12");
        assert_eq!(trimmed(0.25), "0.25");
        assert_eq!(trimmed(100.0), "100");
        let over = Over {
            lean_deg: Some([-12.0, 12.0]),
            ..Over::default()
        };
        assert_eq!(poses_text(Some(&over)), "lean −12 to 12°");
        assert_eq!(unit_of("bump_steer_deg"), "°");
    }
}
