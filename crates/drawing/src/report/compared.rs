//! Candidates side by side.

use super::asked::point_words;
use super::html::{Html, Table};
use super::values;
use crate::figure::{capital, decimals, symbol};
use crate::ink::Ink;
use design::{Candidate, QuantityValue};
use std::collections::BTreeSet;

/// A column: name, colour, candidate.
pub(super) type Column<'a> = (String, Ink, &'a Candidate);

/// Every quantity that any of them was asked for, one row each.
pub(super) fn quantities(columns: &[Column]) -> Html {
    let mut table = Table::new("Goals and requirements")
        .words("Quantity")
        .words("Wanted");
    for (name, _, _) in columns {
        table = table.number(name);
    }
    table = table.words("Unit");
    for entry in rows(columns) {
        let mut cells = vec![
            Html::text(&values::name(entry)),
            Html::text(&values::wish(entry)),
        ];
        for (_, _, candidate) in columns {
            let own = values::find(candidate, entry);
            let broken =
                own.is_some_and(|e| e.margin.is_some_and(|m| m < 0.0) || e.shortfall > 0.0);
            let text = values::shown(own.and_then(|e| e.value), &entry.unit);
            cells.push(match broken {
                true => Html::within("span", "broken", text),
                false => text,
            });
        }
        cells.push(Html::text(symbol(&entry.unit)));
        table.row(cells);
    }
    table.finish()
}

fn rows<'a>(columns: &[Column<'a>]) -> Vec<&'a QuantityValue> {
    let mut rows: Vec<&QuantityValue> = Vec::new();
    for entry in columns.iter().flat_map(|(_, _, c)| values::asked(c)) {
        let same = |e: &&QuantityValue| values::same(e, entry);
        if !rows.iter().any(same) {
            rows.push(entry);
        }
    }
    rows
}

/// Every point in which any of them differs from its submitted vehicle, mm.
pub(super) fn hardpoints(columns: &[Column]) -> Html {
    let mut table = Table::new("Moved hardpoints, x, y, z in mm").words("Point");
    for (name, _, _) in columns {
        table = table.number(name);
    }
    let moved = columns.iter().flat_map(|(_, _, c)| &c.hardpoints);
    let names: BTreeSet<&str> = moved.map(|h| h.point.as_str()).collect();
    for name in names {
        let mut cells = vec![Html::text(&capital(&point_words(name)))];
        for (_, _, candidate) in columns {
            let own = candidate.hardpoints.iter().find(|h| h.point == name);
            let text = own.map_or("as submitted".to_owned(), |h| {
                h.position_mm.map(|x| decimals(x, 2)).join(", ")
            });
            cells.push(Html::text(&text));
        }
        table.row(cells);
    }
    table.finish()
}
