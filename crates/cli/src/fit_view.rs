//! A fit of a machine as built for people, and as files.

use std::path::Path;

use design::{AsBuiltFit, Axis, CAUTIONS, Misfit};
use service::{Fitted, Problem};

use crate::table::{Table, number};
use crate::{files, output};

/// Writes the fit, its figures, both machines, the file that asked for it and the report.
///
/// # Errors
/// When a file cannot be written, or a machine cannot be shown.
pub fn write(fitted: &Fitted, folder: &Path) -> Result<(), Problem> {
    files::folder(folder)?;
    let fit = &fitted.fit;
    files::write(&folder.join("fit.json"), output::pretty(fit)?)?;
    files::write(&folder.join("job.json"), &fitted.input)?;
    files::write(&folder.join("as-built.json"), output::pretty(&fit.vehicle)?)?;
    if let Some(remedy) = &fit.remedy {
        let text = output::pretty(&remedy.vehicle)?;
        files::write(&folder.join("as-corrected.json"), text)?;
    }
    files::write(&folder.join("figures.csv"), fitted.figures()?.csv())?;
    files::write(&folder.join("cautions.txt"), CAUTIONS.join("\n") + "\n")?;
    files::write(&folder.join("report.html"), fitted.report()?)
}

/// The fit as text.
pub fn page(fit: &AsBuiltFit) -> String {
    let heads = ["built less drawn", "mm", "uncertain by, mm", "expected, mm"];
    let mut table = Table::new(heads.map(str::to_owned));
    for one in &fit.deviations {
        let bound = if one.at_bound { " (at its bound)" } else { "" };
        table.row([
            format!("{}{bound}", part(&one.of, one.axis)),
            number(Some(one.deviation_mm)),
            number(Some(one.sigma_mm)),
            number(Some(one.before_mm)),
        ]);
    }
    let explained = match fit.explained {
        true => "explain the readings",
        false => "do not explain the readings: something else deviates, or they are less exact",
    };
    let mut parts = vec![
        table.text(),
        format!(
            "These deviations {explained} (chi square {:.1} of {} figures).",
            fit.chi_square, fit.readings
        ),
        misfits("against the readings, drawn then fitted", &fit.misfit),
    ];
    if !fit.unseen.is_empty() {
        parts.push(format!(
            "The readings do not see {}.",
            fit.unseen.join(", ")
        ));
    }
    for pair in &fit.inseparable {
        parts.push(format!(
            "They tell {} and {} together only.",
            pair.one, pair.other
        ));
    }
    if let Some(remedy) = &fit.remedy {
        let mut table = Table::new(["smallest change", "mm"].map(str::to_owned));
        for change in &remedy.changes {
            table.row([part(&change.of, change.axis), number(Some(change.by_mm))]);
        }
        parts.push(table.text());
        let title = "against the drawing's own figures, before then after the change";
        parts.push(misfits(title, &remedy.misfit));
    }
    parts.extend([fit.notes.join("\n"), fit.cautions.join("\n")]);
    parts.join("\n\n")
}

fn part(of: &str, axis: Option<Axis>) -> String {
    match axis {
        Some(Axis::X) => format!("{of} x"),
        Some(Axis::Y) => format!("{of} y"),
        Some(Axis::Z) => format!("{of} z"),
        None => of.to_owned(),
    }
}

fn misfits(title: &str, misfits: &[Misfit]) -> String {
    let each = misfits.iter().map(|m| {
        let (before, after) = (number(Some(m.drawn)), number(Some(m.fitted)));
        format!("  {} of {} figures: {before}, {after}", m.kind, m.count)
    });
    format!(
        "Misfit {title}, root mean square:\n{}",
        each.collect::<Vec<_>>().join("\n")
    )
}
