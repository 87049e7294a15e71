//! What a millimetre of each freedom does to the quantities.

use super::asked::{axis, point_words, size_words};
use super::html::{Html, Table};
use super::values::wished;
use crate::figure::{capital, signed, symbol, words};
use design::{FreedomName, QuantitySlopes, Role, Sensitivities, Slope};

/// Freedoms shown for each goal and requirement, those with the largest effect.
const MOST_FREEDOMS: usize = 5;
/// Rows of the first table, so that the file stays small whatever is asked.
const MOST_ROWS: usize = 120;

/// Goals and requirements with their strongest freedoms, then the strongest freedom of every
/// other quantity.
pub(super) fn slopes(found: &Sensitivities) -> Html {
    let mut out = Html::default();
    if let Some(why) = &found.failure {
        out.paragraph(&format!("There are no slopes here: {why}."));
        return out;
    }
    out.paragraph(
        "Change of each quantity for one millimetre of a freedom, holds solved again and rods set \
         again to the toe of the drawing. At a kink the worst pose, side, joint or stop changes: a \
         move forward and a move back then have slopes of their own, and both are given.",
    );
    let (asked, rest): (Vec<_>, Vec<_>) = found
        .quantities
        .iter()
        .partition(|q| q.role != Role::Report);
    out.push(asked_table(&asked, &found.freedoms));
    out.push(rest_table(&rest, &found.freedoms));
    out
}

fn asked_table(asked: &[&QuantitySlopes], freedoms: &[FreedomName]) -> Html {
    let mut table = heads(&format!(
        "Goals and requirements: the {MOST_FREEDOMS} freedoms that change each the most, largest \
         effect first"
    ));
    let rows = asked.iter().flat_map(|q| {
        let strong = strongest(q).into_iter().take(MOST_FREEDOMS);
        strong.map(|(i, slope)| row(q, &freedoms[i], slope))
    });
    for cells in rows.take(MOST_ROWS) {
        table.row(cells);
    }
    table.finish()
}

fn rest_table(rest: &[&QuantitySlopes], freedoms: &[FreedomName]) -> Html {
    let mut table =
        heads("Every other quantity over its usual poses: the freedom that changes it the most");
    for q in rest {
        if let Some((i, slope)) = strongest(q).first() {
            table.row(row(q, &freedoms[*i], slope));
        }
    }
    table.finish()
}

fn heads(caption: &str) -> Table {
    Table::new(caption)
        .words("Quantity")
        .words("Freedom")
        .number("change per mm")
        .words("Unit")
        .words("Note")
}

/// Freedoms that change the quantity, the strongest first.
fn strongest(q: &QuantitySlopes) -> Vec<(usize, &Slope)> {
    let mut all: Vec<_> = q.slopes.iter().enumerate().collect();
    all.retain(|(_, slope)| slope.size() > SMALLEST);
    all.sort_by(|(i, a), (j, b)| b.size().total_cmp(&a.size()).then(i.cmp(j)));
    all
}

/// Smaller changes are the noise of the differences.
const SMALLEST: f64 = 1e-5;

fn row(q: &QuantitySlopes, freedom: &FreedomName, slope: &Slope) -> Vec<Html> {
    let point = match freedom.axis {
        Some(along) => format!("{} {}", point_words(&freedom.point), axis(along)),
        None => size_words(&freedom.point),
    };
    let number = match (slope.per_mm, slope.upwards_per_mm, slope.downwards_per_mm) {
        (Some(both), _, _) => change(both),
        (None, Some(up), Some(down)) => {
            format!("{} forward, {} back", change(up), change(-down))
        }
        _ => "–".to_owned(),
    };
    vec![
        Html::text(&wished(
            q.role,
            &capital(&words(&q.quantity)),
            q.over.as_ref(),
        )),
        Html::text(&point),
        Html::text(&number),
        Html::text(&per_mm(&q.unit)),
        Html::text(slope.note.as_deref().map_or("", short)),
    ]
}

/// The part of a note before its explanation.
fn short(note: &str) -> &str {
    note.split([':', ';']).next().unwrap_or(note)
}

fn per_mm(unit: &str) -> String {
    match symbol(unit) {
        "" => "1/mm".to_owned(),
        "°/mm" => "°/mm²".to_owned(),
        "mm" => "mm/mm".to_owned(),
        unit => format!("{unit}/mm"),
    }
}

fn change(slope: f64) -> String {
    let places = match slope.abs() {
        size if size >= 10.0 => 1,
        size if size >= 0.1 => 3,
        size if size >= 0.01 => 4,
        _ => 5,
    };
    signed(slope, places)
}
