//! Curves over one abscissa.

use crate::axes::Axes;
use crate::canvas::{Canvas, Pen, Type, text_width};
use crate::escape::shortened;
use crate::figure::{value, with_unit};
use crate::ink::{Dash, Ink};
use crate::path::{polyline, simplified};
use crate::picture::{Picture, WIDTH, headed};
use crate::scale::{extent, roomy};

const TOP: f64 = 46.0;
const DEPTH: f64 = 176.0;

/// A diagram of curves.
#[derive(Clone, Debug, PartialEq)]
pub struct Chart {
    /// Heading.
    pub title: String,
    /// The ordinate with its unit and the meaning of its sign, below the heading.
    pub ordinate: String,
    /// Unit of the ordinate, as in files (`deg`).
    pub unit: String,
    /// The abscissa with its unit.
    pub abscissa: String,
    /// What the low and the high end of the abscissa mean.
    pub ends: Option<[String; 2]>,
    /// The abscissa runs backwards: high values stand on the left.
    pub reversed: bool,
    /// The ordinate spans at least this much, so that noise does not fill the sheet.
    pub least_span: f64,
    /// The curves.
    pub lines: Vec<ChartLine>,
}

/// One curve. Where a value is absent the curve is interrupted.
#[derive(Clone, Debug, PartialEq)]
pub struct ChartLine {
    /// Name of the vehicle or candidate, for the key.
    pub subject: String,
    /// What of it, where a subject has several lines; else empty.
    pub part: String,
    /// Colour: one for each subject.
    pub ink: Ink,
    /// Dash: one for each part.
    pub dash: Dash,
    /// Abscissa and ordinate.
    pub points: Vec<(f64, Option<f64>)>,
}

impl ChartLine {
    fn reached(&self) -> impl Iterator<Item = (f64, f64)> {
        let finite = |(x, y): &(f64, Option<f64>)| Some((*x, (*y)?));
        let points = self.points.iter().filter_map(finite);
        points.filter(|(x, y)| x.is_finite() && y.is_finite())
    }
}

/// Draws a chart. Without any value it says so.
pub fn chart(chart: &Chart) -> Picture {
    let mut canvas = headed(&chart.title, &chart.ordinate);
    let reached = || chart.lines.iter().flat_map(ChartLine::reached);
    let across = extent(
        chart
            .lines
            .iter()
            .flat_map(|l| l.points.iter().map(|p| p.0)),
    );
    let (Some(across), Some(up)) = (across, extent(reached().map(|p| p.1))) else {
        return nothing(chart, canvas);
    };
    let up = roomy(with_zero(up), 0.06, chart.least_span);
    let mut across = roomy(across, 0.0, 1e-6);
    if chart.reversed {
        across.reverse();
    }
    let axes = Axes::new(across, up, [46.0, TOP, WIDTH - 10.0, TOP + DEPTH]);
    axes.draw(&mut canvas, [6, 5]);
    let ends = chart.ends.as_ref().map(|[a, b]| match chart.reversed {
        false => [a.as_str(), b.as_str()],
        true => [b.as_str(), a.as_str()],
    });
    axes.x_title(&mut canvas, &chart.abscissa, ends);
    for line in &chart.lines {
        curve(&mut canvas, &axes, line);
    }
    let bottom = key(&mut canvas, chart, axes.bottom() + 52.0);
    Picture::new(&chart.title, description(chart), bottom, canvas)
}

/// Zero belongs to the window where it is not far outside.
fn with_zero([low, high]: [f64; 2]) -> [f64; 2] {
    let span = high - low;
    if low > 0.0 && low < 0.6 * span {
        [0.0, high]
    } else if high < 0.0 && -high < 0.6 * span {
        [low, 0.0]
    } else {
        [low, high]
    }
}

fn nothing(chart: &Chart, mut canvas: Canvas) -> Picture {
    let text = "No pose of this range is reached.";
    canvas.text([4.0, 60.0], text, Type::PLAIN);
    Picture::new(&chart.title, text.to_owned(), 76.0, canvas)
}

fn curve(canvas: &mut Canvas, axes: &Axes, line: &ChartLine) {
    let width = if line.ink == Ink::Reference { 1.6 } else { 2.2 };
    let pen = Pen::new(line.ink, width).dashed(line.dash);
    let mut run: Vec<[f64; 2]> = Vec::new();
    let mut draw = |run: &mut Vec<[f64; 2]>| {
        match run.as_slice() {
            [] => {}
            [alone] => canvas.circle(*alone, 1.5, Some(pen), None),
            run => canvas.path(&polyline(&simplified(run, 0.07)), Some(pen), None),
        }
        run.clear();
    };
    for (x, y) in &line.points {
        match y.filter(|y| x.is_finite() && y.is_finite()) {
            Some(y) => run.push(axes.at(*x, y)),
            None => draw(&mut run),
        }
    }
    draw(&mut run);
}

/// The key, in as many rows as it needs. Returns the lower edge.
fn key(canvas: &mut Canvas, chart: &Chart, top: f64) -> f64 {
    let mut at = [8.0, top];
    for (pen, label) in entries(&chart.lines) {
        let width = 34.0 + text_width(&label, 11.5) + 14.0;
        if at[0] > 8.0 && at[0] + width > WIDTH {
            at = [8.0, at[1] + 17.0];
        }
        canvas.line([at[0], at[1] - 4.0], [at[0] + 28.0, at[1] - 4.0], pen);
        canvas.text([at[0] + 34.0, at[1]], &label, Type::PLAIN);
        at[0] += width;
    }
    at[1] + 10.0
}

/// One entry for each line; several subjects with several parts each are told apart by one entry
/// for each colour and one for each dash.
fn entries(lines: &[ChartLine]) -> Vec<(Pen, String)> {
    let pen = |ink, dash| Pen::new(ink, 2.2).dashed(dash);
    let mut subjects: Vec<(Ink, String)> = Vec::new();
    let mut parts: Vec<(Dash, String)> = Vec::new();
    for line in lines {
        if !subjects.iter().any(|(_, s)| *s == line.subject) {
            subjects.push((line.ink, line.subject.clone()));
        }
        if !line.part.is_empty() && !parts.iter().any(|(_, p)| *p == line.part) {
            parts.push((line.dash, line.part.clone()));
        }
    }
    let dashes_tell = {
        let mut dashes: Vec<Dash> = parts.iter().map(|p| p.0).collect();
        dashes.dedup();
        dashes.len() == parts.len()
    };
    if subjects.len() < 2 || parts.len() < 2 || !dashes_tell {
        let each = lines.iter().map(|l| (pen(l.ink, l.dash), label(l)));
        return each.collect();
    }
    let subjects = subjects
        .into_iter()
        .map(|(ink, name)| (pen(ink, Dash::Solid), shortened(&name, 30)));
    let parts = parts
        .into_iter()
        .map(|(dash, name)| (pen(Ink::Soft, dash), name));
    subjects.chain(parts).collect()
}

fn label(line: &ChartLine) -> String {
    let subject = shortened(&line.subject, 30);
    match (subject.as_str(), line.part.as_str()) {
        (subject, "") => subject.to_owned(),
        ("", part) => part.to_owned(),
        (subject, part) => format!("{subject}, {part}"),
    }
}

fn description(chart: &Chart) -> String {
    let parts: Vec<String> = chart
        .lines
        .iter()
        .map(|line| {
            let name = label(line);
            match extent(line.reached().map(|p| p.1)) {
                None => format!("{name}: not reached"),
                Some([low, high]) => format!(
                    "{name}: from {} to {}",
                    value(low, &chart.unit),
                    with_unit(high, &chart.unit)
                ),
            }
        })
        .collect();
    format!(
        "{} over {}. {}.",
        chart.ordinate,
        chart.abscissa,
        parts.join("; ")
    )
}
