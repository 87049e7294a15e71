//! What a workshop's errors make of a candidate.

use super::asked::{axis, point_words};
use super::html::{Html, Table};
use super::values::{shown, wished};
use crate::figure::{capital, decimals, symbol, words};
use design::{Cause, Jig, QuantityStudy, Role, Study};

/// Goals and requirements with what matters most to each, then every other quantity in short.
pub(super) fn study(found: &Study) -> Html {
    let mut out = Html::default();
    if let Some(why) = &found.failure {
        out.paragraph(&format!("There is no study: {why}."));
        return out;
    }
    out.paragraph(&format!(
        "{} machines were built with errors of {} mm (one standard deviation), each point by itself, \
         left and right apart, the rods then set to the toe of the drawing; {} of them do not \
         assemble. Percentiles count from the better end.",
        found.samples,
        decimals(found.sigma_mm, 2),
        found.unassembled
    ));
    let (asked, rest): (Vec<_>, Vec<_>) = found
        .quantities
        .iter()
        .partition(|q| q.role != Role::Report);
    out.push(table(
        "Goals and requirements of the machines built, and what matters most",
        &asked,
    ));
    out.list(asked.iter().filter_map(|q| Some(jig(q, q.jig.as_ref()?))));
    out.push(table("Every other quantity over its usual poses", &rest));
    out
}

fn table(caption: &str, rows: &[&QuantityStudy]) -> Html {
    let mut table = Table::new(caption)
        .words("Quantity")
        .number("as drawn")
        .number("half keep")
        .number("95 % keep")
        .number("worst")
        .words("Unit")
        .words("What matters most");
    for q in rows {
        let name = wished(q.role, &capital(&words(&q.quantity)), q.over.as_ref());
        let causes: Vec<String> = q.causes.iter().map(cause).collect();
        table.row(vec![
            Html::text(&name),
            shown(q.nominal, &q.unit),
            shown(q.p50, &q.unit),
            shown(q.p95, &q.unit),
            shown(q.worst, &q.unit),
            Html::text(symbol(&q.unit)),
            Html::text(&causes.join("; ")),
        ]);
    }
    table.finish()
}

fn cause(cause: &Cause) -> String {
    let along = cause
        .axis
        .map_or(String::new(), |a| format!(" {}", axis(a)));
    let share = decimals(100.0 * cause.share, 0);
    format!("{}{along} ({share} %)", point_words(&cause.of))
}

fn jig(q: &QuantityStudy, jig: &Jig) -> String {
    let name = wished(q.role, &capital(&words(&q.quantity)), q.over.as_ref());
    let figure = match jig.sigma_mm {
        Some(sigma) => format!(
            "95 % keep the limit up to errors of {} mm",
            decimals(sigma, 2)
        ),
        None => "no error keeps the limit in 95 %".to_owned(),
    };
    let note = jig
        .note
        .as_ref()
        .map_or(String::new(), |note| format!(" ({note})"));
    format!("{name}: {figure}{note}.")
}
