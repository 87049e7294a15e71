//! The report of a machine as built: what deviates, how sure that is, and the smallest change.

use super::asked::{axis, point_words, trimmed};
use super::closing::{care, closing};
use super::curves::curves;
use super::draft::drawn;
use super::html::{Html, Page, Table};
use super::job::{facts, vehicle_name};
use super::portrait::Portrait;
use crate::figure::{capital, decimals, signed, words};
use crate::ink::Ink;
use design::{
    AsBuilt, AsBuiltFit, Axis, Deviation, FigureRow, Misfit, Reach, Reading, SideName, Vehicle,
};

/// A fit with what it was asked by.
#[derive(Clone, Copy, Debug)]
pub struct AsBuiltReport<'a> {
    /// What was asked.
    pub asked: &'a AsBuilt,
    /// What was found.
    pub fit: &'a AsBuiltFit,
    /// Facts for the head of the report: name and value.
    pub facts: &'a [(String, String)],
}

/// The report of a machine as built as one HTML file.
///
/// # Errors
/// One sentence on why a machine of it cannot be shown.
pub fn as_built_report(report: &AsBuiltReport) -> Result<String, String> {
    let (asked, fit) = (report.asked, report.fit);
    let name = match asked.name.trim() {
        "" => vehicle_name(&asked.vehicle.name),
        name => name,
    };
    let mut page = Page::new(&format!("{name}, as built"), lead(report));
    page.section("Which deviations explain it", deviations(fit));
    page.section("What cannot be told apart", doubts(fit));
    page.section("The smallest change", change(fit));
    page.section("Readings before and after", readings(asked, fit));
    page.section("Curves", diagrams(asked, fit)?);
    page.section("What was asked", question(asked));
    page.section("Limits of the model, and cautions", closing(None));
    Ok(page.finish())
}

fn lead(report: &AsBuiltReport) -> Html {
    let (asked, fit) = (report.asked, report.fit);
    let mut out = Html::default();
    out.paragraph(&format!("Vehicle: {}", vehicle_name(&asked.vehicle.name)));
    let explained = match (fit.readings, fit.explained) {
        (0, _) => "Nothing was read off it; the deviations are those measured.".to_owned(),
        (n, true) => format!(
            "The deviations below explain the {n} figures that were read (chi square {}).",
            decimals(fit.chi_square, 1)
        ),
        (n, false) => format!(
            "The deviations below do not explain the {n} figures that were read (chi square {}, \
             more than chance leaves once in a hundred): something else deviates, or the readings \
             are less exact than was said.",
            decimals(fit.chi_square, 1)
        ),
    };
    out.paragraph(&explained);
    out.push(facts(report.facts));
    out.push(care());
    out
}

/// A part in words, with its side and coordinate.
fn part(of: &str, side: Option<SideName>, along: Option<Axis>) -> String {
    let bare = of.strip_prefix("right.").unwrap_or(of);
    let name = match bare.ends_with("rod_length") {
        true => "rod length".to_owned(),
        false => point_words(bare),
    };
    let along = along.map_or(String::new(), |a| format!(" {}", axis(a)));
    let side = match side {
        Some(SideName::Left) => ", left",
        Some(SideName::Right) => ", right",
        None => "",
    };
    format!("{}{along}{side}", capital(&name))
}

fn deviations(fit: &AsBuiltFit) -> Html {
    let mut table = Table::new(
        "Built less drawn in mm, the surest first: as found, how sure after the readings and before \
         (one standard deviation), and how many of the former it lies from the drawing",
    )
    .words("Part")
    .number("found")
    .number("sure to ±")
    .number("before ±")
    .number("deviations")
    .words("Note");
    for one in &fit.deviations {
        table.row(vec![
            Html::text(&part(&one.of, one.side, one.axis)),
            Html::text(&signed(one.deviation_mm, 2)),
            Html::text(&decimals(one.sigma_mm, 2)),
            Html::text(&decimals(one.before_mm, 2)),
            Html::text(&decimals(one.deviation_mm.abs() / one.sigma_mm, 1)),
            Html::text(&note(fit, one)),
        ]);
    }
    table.finish()
}

fn note(fit: &AsBuiltFit, one: &Deviation) -> String {
    let mut parts = Vec::new();
    if let Some(measured) = one.measured_mm {
        parts.push(format!("measured {} mm", signed(measured, 2)));
    }
    if one.at_bound {
        parts.push("at its bound".to_owned());
    }
    let name = match one.axis {
        Some(a) => format!("{} {}", one.of, axis(a)),
        None => one.of.clone(),
    };
    if fit.unseen.contains(&name) {
        parts.push("the readings hardly see it".to_owned());
    }
    parts.join("; ")
}

fn doubts(fit: &AsBuiltFit) -> Html {
    let mut out = Html::default();
    let named = |name: &str| {
        let same = |d: &&Deviation| match d.axis {
            Some(a) => name == format!("{} {}", d.of, axis(a)),
            None => name == d.of,
        };
        let known = fit.deviations.iter().find(same);
        known.map_or(name.to_owned(), |d| part(&d.of, d.side, d.axis))
    };
    if !fit.unseen.is_empty() {
        out.paragraph("The readings tell little or nothing about:");
        out.list(fit.unseen.iter().map(|name| named(name)));
    }
    if !fit.inseparable.is_empty() {
        out.paragraph(
            "The readings tell these together only; a change of either mends what was read:",
        );
        out.list(fit.inseparable.iter().map(|pair| {
            let (one, other) = (named(&pair.one), named(&pair.other));
            let correlation = decimals(pair.correlation, 2);
            format!("{one} and {other} (correlation {correlation})")
        }));
    }
    if fit.unseen.is_empty() && fit.inseparable.is_empty() {
        out.paragraph("The readings see every deviation and tell all of them apart.");
    }
    out
}

fn change(fit: &AsBuiltFit) -> Html {
    let mut out = Html::default();
    let Some(remedy) = &fit.remedy else {
        out.paragraph("No change was asked for.");
        return out;
    };
    let mut table = Table::new(
        "What to change on the machine as built, mm: x forward, y left, z up; a rod longer is \
         positive",
    )
    .words("Part")
    .number("by");
    for one in &remedy.changes {
        table.row(vec![
            Html::text(&part(&one.of, one.side, one.axis)),
            Html::text(&signed(one.by_mm, 2)),
        ]);
    }
    out.push(table.finish());
    out.push(misfits(
        "Difference from the drawing's own figures, root mean square, in the poses read and over \
         lean to 10° and travel to 30 mm either way, as far as both machines reach",
        ["as built", "after the change"],
        &remedy.misfit,
    ));
    out
}

fn misfits(caption: &str, heads: [&str; 2], rows: &[Misfit]) -> Html {
    let mut table = Table::new(caption)
        .words("Figures")
        .number("how many")
        .number(heads[0])
        .number(heads[1])
        .words("Unit");
    for row in rows {
        let unit = if row.kind.ends_with("_mm") {
            "mm"
        } else {
            "°"
        };
        table.row(vec![
            Html::text(&capital(&words(&row.kind))),
            Html::text(&row.count.to_string()),
            Html::text(&decimals(row.drawn, 3)),
            Html::text(&decimals(row.fitted, 3)),
            Html::text(unit),
        ]);
    }
    table.finish()
}

/// Fields of a reading with their captions.
const FIGURES: [(&str, &str); 5] = [
    ("toe_left_deg", "Toe-in of the left wheel, °"),
    ("toe_right_deg", "Toe-in of the right wheel, °"),
    (
        "camber_left_deg",
        "Camber of the left wheel against the ground, °",
    ),
    (
        "camber_right_deg",
        "Camber of the right wheel against the ground, °",
    ),
    (
        "height_mm",
        "Height of the frame above its place in the drawing, mm",
    ),
];

fn readings(asked: &AsBuilt, fit: &AsBuiltFit) -> Html {
    let mut out = Html::default();
    if fit.figures.is_empty() {
        return out;
    }
    out.push(misfits(
        "Misfit against the readings, root mean square",
        ["as drawn", "as fitted"],
        &fit.misfit,
    ));
    for (field, caption) in FIGURES {
        out.push(figures(asked, fit, field, caption));
    }
    out
}

fn figures(asked: &AsBuilt, fit: &AsBuiltFit, field: &str, caption: &str) -> Html {
    let mut table = Table::new(caption)
        .words("Pose")
        .number("read")
        .number("as fitted")
        .number("as drawn");
    if fit.remedy.is_some() {
        table = table.number("after the change");
    }
    let own = fit.figures.iter().filter(|f| f.figure == field);
    let rows = own.filter_map(|f| Some((asked.readings.get(f.reading as usize)?, f)));
    for (reading, f) in rows {
        table.row(cells(reading, f, fit.remedy.is_some()));
    }
    table.finish()
}

fn cells(reading: &Reading, f: &FigureRow, mended: bool) -> Vec<Html> {
    let places = if f.figure.ends_with("_mm") { 1 } else { 2 };
    let number = |x: f64| Html::text(&decimals(x, places));
    let mut row = vec![
        Html::text(&pose(reading)),
        number(f.read),
        number(f.fitted),
        number(f.drawn),
    ];
    if mended {
        row.push(number(f.mended.unwrap_or(f64::NAN)));
    }
    row
}

fn pose(reading: &Reading) -> String {
    let mut parts = Vec::new();
    match reading.lean_deg {
        0.0 => parts.push("upright".to_owned()),
        lean if lean > 0.0 => parts.push(format!("leaned {}° right", trimmed(lean))),
        lean => parts.push(format!("leaned {}° left", trimmed(-lean))),
    }
    if reading.steer_deg != 0.0 {
        parts.push(format!("crank {}°", trimmed(reading.steer_deg)));
    }
    if let Some(travel) = reading.mean_travel_mm.filter(|mm| *mm != 0.0) {
        parts.push(format!("travel {} mm", trimmed(travel)));
    }
    parts.join(", ")
}

fn diagrams(asked: &AsBuilt, fit: &AsBuiltFit) -> Result<Html, String> {
    let reach = Reach::default();
    let portrait = |label: &str, ink, vehicle: &Vehicle| Portrait::new(label, ink, vehicle, &reach);
    let mut all = vec![
        portrait("as designed", Ink::Reference, &asked.vehicle)?,
        portrait("as built", Ink::First, &fit.vehicle)?,
    ];
    if let Some(remedy) = &fit.remedy {
        all.push(portrait("as corrected", Ink::Second, &remedy.vehicle)?);
    }
    let shown: Vec<&Portrait> = all.iter().collect();
    let mut out = Html::default();
    out.pictures(&drawn(curves(&shown)));
    Ok(out)
}

fn question(asked: &AsBuilt) -> Html {
    let mut out = Html::default();
    let exact = &asked.exactness;
    out.paragraph(&format!(
        "{} poses were read, toe to {}°, camber to {}°, height to {} mm (one standard deviation); {} \
         points were measured.",
        asked.readings.len(),
        trimmed(exact.toe_deg),
        trimmed(exact.camber_deg),
        trimmed(exact.height_mm),
        asked.measured.len()
    ));
    for (caption, list) in [
        (
            "What may deviate, and by how much that is expected, mm",
            &asked.unknowns,
        ),
        (
            "What may be changed, and what costs one unit of effort, mm",
            &asked.changes,
        ),
    ] {
        let mut table = Table::new(caption).words("Part").number("mm");
        for unknown in list {
            table.row(vec![
                Html::text(&part(&unknown.of, unknown.side, unknown.axis)),
                Html::text(&trimmed(unknown.sigma_mm)),
            ]);
        }
        out.push(table.finish());
    }
    out
}
