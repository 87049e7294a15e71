//! Maps: a quantity over two abscissas, as bands with labelled contour lines.

use crate::axes::Axes;
use crate::bands::{LEVELS, LINE, bands};
use crate::canvas::{Anchor, Canvas, Pen, Type};
use crate::contour::Grid;
use crate::figure::decimals;
use crate::ink::Ink;
use crate::path::{polygon, polyline, simplified};
use crate::picture::{Picture, WIDTH, headed};
use crate::scale::extent;

const TOP: f64 = 60.0;
const DEPTH: f64 = 240.0;
const LEFT: f64 = 46.0;

/// A quantity in degrees over a grid.
#[derive(Clone, Debug, PartialEq)]
pub struct Map {
    /// Heading.
    pub title: String,
    /// The quantity with its unit and sign, below the heading.
    pub quantity: String,
    /// The horizontal axis.
    pub x: MapAxis,
    /// The vertical axis.
    pub y: MapAxis,
    /// Values, along x first; absent where the machine does not reach the pose.
    pub values: Vec<Option<f64>>,
    /// The quantity has a sign; else it is a magnitude.
    pub signed: bool,
    /// Outlines of the region that matters, in the units of the axes.
    pub outlines: Vec<Vec<[f64; 2]>>,
}

/// An axis of a map.
#[derive(Clone, Debug, PartialEq)]
pub struct MapAxis {
    /// What it is, with its unit.
    pub title: String,
    /// Rising values, at least two.
    pub values: Vec<f64>,
    /// What the low and the high end mean.
    pub ends: [String; 2],
    /// High values stand on the left.
    pub reversed: bool,
}

impl MapAxis {
    fn range(&self) -> [f64; 2] {
        let [a, b] = extent(self.values.iter().copied()).unwrap_or([0.0, 1.0]);
        if self.reversed { [b, a] } else { [a, b] }
    }
}

/// Draws a map. Hatching marks what the machine does not reach.
pub fn map(map: &Map) -> Picture {
    let mut canvas = headed(&map.title, &map.quantity);
    let box_ = [LEFT, TOP, WIDTH - 10.0, TOP + DEPTH];
    let axes = Axes::new(map.x.range(), map.y.range(), box_);
    hatch(&mut canvas, box_);
    let grid = Grid {
        x: &map.x.values,
        y: &map.y.values,
        values: &map.values,
    };
    fill(&mut canvas, &axes, &grid, map.signed);
    let levels = lines(&mut canvas, &axes, &grid, map.signed);
    for outline in &map.outlines {
        let points: Vec<[f64; 2]> = outline.iter().map(|[x, y]| axes.at(*x, *y)).collect();
        canvas.fixed_line(&polygon(&points), "#fdfcf8", 4.0);
        canvas.fixed_line(&polygon(&points), "#1d262c", 2.0);
    }
    canvas.rect(
        [box_[0], box_[1]],
        [box_[2] - box_[0], box_[3] - box_[1]],
        Some(Pen::new(Ink::Rule, 1.0)),
        None,
    );
    write_levels(&mut canvas, &levels);
    axes.numbers(&mut canvas, [6, 6]);
    let [low, high] = &map.x.ends;
    let ends = if map.x.reversed {
        [high, low]
    } else {
        [low, high]
    };
    axes.x_title(&mut canvas, &map.x.title, Some(ends.map(String::as_str)));
    upright(&mut canvas, &axes, &map.y);
    let bottom = key(&mut canvas, map, axes.bottom() + 46.0);
    Picture::new(&map.title, description(map), bottom, canvas)
}

/// The vertical axis is named above the field.
fn upright(canvas: &mut Canvas, axes: &Axes, axis: &MapAxis) {
    let [low, high] = &axis.ends;
    let text = format!("{}: ↑ {high}, ↓ {low}", axis.title);
    canvas.text([axes.left(), axes.top() - 8.0], &text, Type::SOFT);
}

/// Slanting lines over the whole field; what is reached is painted over them.
fn hatch(canvas: &mut Canvas, [left, top, right, bottom]: [f64; 4]) {
    const STEP: f64 = 7.0;
    let (width, height) = (right - left, bottom - top);
    let mut commands = String::new();
    let mut d = STEP;
    while d < width + height {
        let from = [left + d.min(width), top + (d - width).max(0.0)];
        let to = [left + (d - height).max(0.0), top + d.min(height)];
        commands.push_str(&polyline(&[from, to]));
        d += STEP;
    }
    canvas.path(&commands, Some(Pen::new(Ink::Rule, 0.7)), None);
}

fn fill(canvas: &mut Canvas, axes: &Axes, grid: &Grid, signed: bool) {
    for (level, colour) in bands(signed) {
        let region = grid.region(level.unwrap_or(f64::NEG_INFINITY));
        let commands: String = region
            .iter()
            .map(|points| {
                let points: Vec<[f64; 2]> = points.iter().map(|[x, y]| axes.at(*x, *y)).collect();
                polygon(&simplified(&points, 0.1))
            })
            .collect();
        canvas.area(&commands, colour);
    }
}

type Written = ([f64; 2], String);

/// Contour lines; returns where their levels may be written.
fn lines(canvas: &mut Canvas, axes: &Axes, grid: &Grid, signed: bool) -> Vec<Written> {
    let mut written: Vec<Written> = Vec::new();
    let below = LEVELS.iter().rev().map(|l| -l).filter(|_| signed);
    for level in below.chain(LEVELS) {
        let mut commands = String::new();
        for line in grid.line(level) {
            let points: Vec<[f64; 2]> = line.iter().map(|[x, y]| axes.at(*x, *y)).collect();
            commands.push_str(&polyline(&simplified(&points, 0.1)));
            let place = label_place(&points, &written);
            written.extend(place.map(|at| (at, number(level))));
        }
        canvas.fixed_line(&commands, LINE, 0.8);
    }
    written
}

/// A place on a line that is long enough, away from the labels that stand already.
fn label_place(points: &[[f64; 2]], written: &[Written]) -> Option<[f64; 2]> {
    let length: f64 = points
        .windows(2)
        .map(|w| libm::hypot(w[1][0] - w[0][0], w[1][1] - w[0][1]))
        .sum();
    if length < 40.0 {
        return None;
    }
    let clear = |p: &[f64; 2]| {
        let apart = |(q, _): &Written| (p[0] - q[0]).abs() > 34.0 || (p[1] - q[1]).abs() > 14.0;
        p[0] > LEFT + 16.0
            && p[0] < WIDTH - 26.0
            && p[1] > TOP + 10.0
            && p[1] < TOP + DEPTH - 10.0
            && written.iter().all(apart)
    };
    let n = points.len();
    (0..n)
        .map(|k| (n / 2 + if k % 2 == 0 { k / 2 } else { n - 1 - k / 2 }) % n)
        .map(|k| points[k])
        .find(clear)
}

fn number(level: f64) -> String {
    let digits = match level.abs() {
        l if l < 0.3 => 2,
        l if l < 1.0 => 1,
        _ => 0,
    };
    decimals(level, digits)
}

fn write_levels(canvas: &mut Canvas, levels: &[Written]) {
    for ([x, y], text) in levels {
        let kind = Type {
            size: 10.0,
            ..Type::PLAIN.at(Anchor::Middle)
        };
        canvas.text_over([*x, y + 3.5], text, kind);
    }
}

/// The scale of colours and what hatching and outline mean.
fn key(canvas: &mut Canvas, map: &Map, top: f64) -> f64 {
    let bands = bands(map.signed);
    let width = (WIDTH - 10.0 - LEFT) / bands.len() as f64;
    for (k, (level, colour)) in bands.iter().enumerate() {
        let x = LEFT + k as f64 * width;
        let points = [
            [x, top],
            [x + width, top],
            [x + width, top + 10.0],
            [x, top + 10.0],
        ];
        canvas.area(&polygon(&points), colour);
        if let Some(level) = level {
            let kind = Type {
                size: 10.0,
                ..Type::SOFT.at(Anchor::Middle)
            };
            canvas.text([x, top + 22.0], &number(*level), kind);
        }
    }
    let y = top + 40.0;
    hatch(canvas, [LEFT, y - 9.0, LEFT + 26.0, y + 1.0]);
    canvas.text([LEFT + 32.0, y], "not reached", Type::PLAIN);
    if map.outlines.is_empty() {
        return y + 8.0;
    }
    let x = LEFT + 122.0;
    canvas.line([x, y - 4.0], [x + 26.0, y - 4.0], Pen::new(Ink::Text, 2.0));
    canvas.text([x + 32.0, y], "border of reach", Type::PLAIN);
    y + 8.0
}

fn description(map: &Map) -> String {
    let reached: Vec<f64> = map.values.iter().filter_map(|v| *v).collect();
    let missing = map.values.len() - reached.len();
    match extent(reached) {
        None => "No pose of this map is reached.".to_owned(),
        Some([low, high]) => format!(
            "{} over {} and {}: from {}° to {}°. {missing} of {} poses are not reached.",
            map.quantity,
            map.x.title,
            map.y.title,
            decimals(low, 2),
            decimals(high, 2),
            map.values.len()
        ),
    }
}
