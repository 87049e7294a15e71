//! Before and after: two bars for each quantity, each row to its own scale, with its limits.

use crate::canvas::{Anchor, Canvas, Fill, Pen, Type, text_width};
use crate::escape::shortened;
use crate::figure::with_unit;
use crate::ink::{Dash, Ink};
use crate::picture::{Picture, WIDTH, headed};

const ROW: f64 = 49.0;
const LEFT: f64 = 4.0;
const RIGHT: f64 = WIDTH - 84.0;

/// A quantity before and after.
#[derive(Clone, Debug, PartialEq)]
pub struct BarRow {
    /// Name in words, with what is wanted of it.
    pub label: String,
    /// Unit as in files.
    pub unit: String,
    /// Value of the submitted vehicle.
    pub before: Option<f64>,
    /// Value of the candidate.
    pub after: Option<f64>,
    /// Limits that were asked for.
    pub limits: Vec<f64>,
}

/// Draws the rows; `after` names the candidate.
pub fn bars(title: &str, after: &str, rows: &[BarRow]) -> Picture {
    let after = shortened(after, 34);
    let mut canvas = headed(title, "");
    key(&mut canvas, &after);
    for (k, row) in rows.iter().enumerate() {
        bar_row(&mut canvas, row, 52.0 + k as f64 * ROW);
    }
    let mut text: Vec<String> = rows.iter().map(|row| sentence(row, &after)).collect();
    if rows.is_empty() {
        text.push("No quantity to show.".to_owned());
    }
    let bottom = 52.0 + rows.len() as f64 * ROW;
    Picture::new(title, text.join(" "), bottom, canvas)
}

fn key(canvas: &mut Canvas, after: &str) {
    let mut x = LEFT;
    for (ink, text) in [(Ink::Reference, "submitted"), (Ink::First, after)] {
        let fill = Fill { ink, cover: 1.0 };
        canvas.rect([x, 25.0], [12.0, 9.0], None, Some(fill));
        canvas.text([x + 17.0, 33.5], text, Type::PLAIN);
        x += 17.0 + text_width(text, 11.5) + 16.0;
    }
    let pen = Pen::new(Ink::Limit, 1.6).dashed(Dash::Short);
    canvas.line([x + 4.0, 24.0], [x + 4.0, 36.0], pen);
    canvas.text([x + 12.0, 33.5], "limit", Type::PLAIN);
}

fn bar_row(canvas: &mut Canvas, row: &BarRow, top: f64) {
    canvas.text([LEFT, top + 10.0], &shortened(&row.label, 62), Type::PLAIN);
    let all = || {
        [row.before, row.after]
            .into_iter()
            .flatten()
            .chain(row.limits.iter().copied())
    };
    let low = all().fold(0.0, f64::min);
    let high = all().fold(0.0, f64::max);
    let span = if high > low { high - low } else { 1.0 };
    let at = |v: f64| LEFT + (v - low) / span * (RIGHT - LEFT);
    for (k, (value, ink)) in [(row.before, Ink::Reference), (row.after, Ink::First)]
        .into_iter()
        .enumerate()
    {
        let y = top + 16.0 + 12.0 * k as f64;
        let (x0, x1) = (at(0.0), at(value.unwrap_or(0.0)));
        let fill = Fill { ink, cover: 1.0 };
        let width = (x1 - x0).abs().max(1.0);
        canvas.rect([x0.min(x1), y], [width, 9.0], None, Some(fill));
    }
    for limit in &row.limits {
        let pen = Pen::new(Ink::Limit, 1.6).dashed(Dash::Short);
        canvas.line([at(*limit), top + 13.0], [at(*limit), top + 40.0], pen);
    }
    for (k, value) in [row.before, row.after].into_iter().enumerate() {
        let y = top + 16.0 + 12.0 * k as f64;
        let text = value.map_or("no value".to_owned(), |v| with_unit(v, &row.unit));
        let end = at(0.0).max(at(value.unwrap_or(0.0)));
        let kind = Type::PLAIN
            .at(Anchor::Start)
            .ink(if k == 0 { Ink::Soft } else { Ink::Text });
        canvas.text_over([end + 6.0, y + 8.5], &text, kind);
    }
}

fn sentence(row: &BarRow, after: &str) -> String {
    let text = |v: Option<f64>| v.map_or("no value".to_owned(), |v| with_unit(v, &row.unit));
    let limits: Vec<String> = row
        .limits
        .iter()
        .map(|l| with_unit(*l, &row.unit))
        .collect();
    let limit = if limits.is_empty() {
        String::new()
    } else {
        format!(", limit {}", limits.join(" and "))
    };
    format!(
        "{}: submitted {}, {after} {}{limit}.",
        row.label,
        text(row.before),
        text(row.after)
    )
}
