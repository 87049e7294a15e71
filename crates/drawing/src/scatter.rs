//! A front as points, one picture for each pair of goals, with the submitted vehicle beside it.

use crate::axes::Axes;
use crate::canvas::{Anchor, Canvas, Fill, Pen, Type, text_width};
use crate::figure::{symbol, value};
use crate::ink::Ink;
use crate::path::polygon;
use crate::picture::{Picture, WIDTH, headed};
use crate::scale::{extent, roomy};

const TOP: f64 = 46.0;
const DEPTH: f64 = 216.0;
/// A reference that would squeeze the front by more than this stands at the border.
const FARTHEST: f64 = 3.0;

/// A front in the space of its goals.
#[derive(Clone, Debug, PartialEq)]
pub struct Front {
    /// The goals.
    pub goals: Vec<FrontGoal>,
    /// The candidates.
    pub points: Vec<FrontPoint>,
    /// The submitted vehicle's values, one for each goal; absent where it has none.
    pub reference: Vec<Option<f64>>,
}

/// A goal as axes name it.
#[derive(Clone, Debug, PartialEq)]
pub struct FrontGoal {
    /// Name in words, without its unit.
    pub name: String,
    /// Unit as in files.
    pub unit: String,
    /// Large values are wanted.
    pub maximise: bool,
}

/// A candidate on the front.
#[derive(Clone, Debug, PartialEq)]
pub struct FrontPoint {
    /// Its number in the front.
    pub number: usize,
    /// One value for each goal.
    pub values: Vec<Option<f64>>,
    /// Its colour if it is shown with its number.
    pub chosen: Option<Ink>,
}

/// One picture for each pair of goals, named `front_0_1` and so on; none for a single goal.
pub fn front(front: &Front) -> Vec<Picture> {
    let n = front.goals.len();
    let pairs = (0..n).flat_map(|x| (x + 1..n).map(move |y| [x, y]));
    pairs
        .map(|pair| scatter(front, pair).named(format!("front_{}_{}", pair[0], pair[1])))
        .collect()
}

fn place(values: &[Option<f64>], [x, y]: [usize; 2]) -> Option<[f64; 2]> {
    let get = |k: usize| values.get(k).copied().flatten().filter(|v| v.is_finite());
    Some([get(x)?, get(y)?])
}

fn scatter(front: &Front, pair: [usize; 2]) -> Picture {
    let [x, y] = pair.map(|k| &front.goals[k]);
    let title = format!("{} against {}", crate::figure::capital(&x.name), y.name);
    let arrow = if y.maximise { "↑" } else { "↓" };
    let mut canvas = headed(&title, &format!("{} ({arrow} better)", named(y)));
    let points: Vec<(&FrontPoint, [f64; 2])> = front
        .points
        .iter()
        .filter_map(|p| Some((p, place(&p.values, pair)?)))
        .collect();
    let reference = place(&front.reference, pair);
    let Some(axes) = axes(&points, reference) else {
        canvas.text([4.0, 60.0], "No candidate has both values.", Type::PLAIN);
        return Picture::new(&title, "No candidate has both values.".into(), 76.0, canvas);
    };
    axes.draw(&mut canvas, [6, 5]);
    let ends = if x.maximise {
        ["", "better"]
    } else {
        ["better", ""]
    };
    axes.x_title(&mut canvas, &named(x), None);
    ends_of(&mut canvas, &axes, ends);
    for (_, at) in points.iter().filter(|p| p.0.chosen.is_none()) {
        let fill = Some(Fill {
            ink: Ink::First,
            cover: 0.25,
        });
        canvas.circle(
            axes.at(at[0], at[1]),
            3.2,
            Some(Pen::new(Ink::First, 1.1)),
            fill,
        );
    }
    if let Some(at) = reference {
        submitted(&mut canvas, &axes, at, [&x.unit, &y.unit]);
    }
    chosen(&mut canvas, &axes, &points);
    let text = description([x, y], &points, reference);
    Picture::new(&title, text, axes.bottom() + 42.0, canvas)
}

fn ends_of(canvas: &mut Canvas, axes: &Axes, [low, high]: [&str; 2]) {
    let y = axes.bottom() + 32.0;
    if !low.is_empty() {
        canvas.text([axes.left() - 4.0, y], &format!("← {low}"), Type::SOFT);
    }
    if !high.is_empty() {
        let kind = Type::SOFT.at(Anchor::End);
        canvas.text([axes.right(), y], &format!("{high} →"), kind);
    }
}

fn named(goal: &FrontGoal) -> String {
    match symbol(&goal.unit) {
        "" => goal.name.clone(),
        unit => format!("{}, {unit}", goal.name),
    }
}

fn axes(points: &[(&FrontPoint, [f64; 2])], reference: Option<[f64; 2]>) -> Option<Axes> {
    let window = |k: usize| {
        let own = extent(points.iter().map(|p| p.1[k]))?;
        // A front that hardly spreads is shown as one that hardly spreads.
        let least = 0.1 * own[0].abs().max(own[1].abs()).max(1e-3);
        let own = roomy(own, 0.08, least);
        let both = extent(own.into_iter().chain(reference.map(|r| r[k])))?;
        let fits = both[1] - both[0] <= FARTHEST * (own[1] - own[0]);
        Some(if fits { roomy(both, 0.04, least) } else { own })
    };
    let sheet = [50.0, TOP, WIDTH - 12.0, TOP + DEPTH];
    Some(Axes::new(window(0)?, window(1)?, sheet))
}

/// A diamond at the submitted vehicle, or at the border nearest to it, with its values.
fn submitted(canvas: &mut Canvas, axes: &Axes, at: [f64; 2], units: [&str; 2]) {
    let inside = axes.x.holds(at[0]) && axes.y.holds(at[1]);
    let [x, y] = [
        axes.x
            .at(at[0])
            .clamp(axes.left() + 6.0, axes.right() - 6.0),
        axes.y
            .at(at[1])
            .clamp(axes.top() + 6.0, axes.bottom() - 6.0),
    ];
    let r = 5.5;
    let diamond = [[x - r, y], [x, y - r], [x + r, y], [x, y + r]];
    let pen = Pen::new(Ink::Text, 1.6);
    let fill = Fill {
        ink: Ink::Paper,
        cover: 1.0,
    };
    canvas.path(&polygon(&diamond), Some(pen), Some(fill));
    let values = format!("{}, {}", value(at[0], units[0]), value(at[1], units[1]));
    let text = if inside {
        "submitted".to_owned()
    } else {
        format!("submitted, off the sheet at ({values})")
    };
    let width = text_width(&text, 11.5);
    let right = x + 10.0 + width > axes.right();
    let (dx, anchor) = if right {
        (-10.0, Anchor::End)
    } else {
        (10.0, Anchor::Start)
    };
    let below = y < axes.top() + 20.0;
    let dy = if below { 4.0 } else { -6.0 };
    canvas.text_over(
        [x + dx, y + dy + if below { 4.0 } else { 0.0 }],
        &text,
        Type::PLAIN.at(anchor),
    );
}

/// Candidates that the report goes on to show, with their numbers.
fn chosen(canvas: &mut Canvas, axes: &Axes, points: &[(&FrontPoint, [f64; 2])]) {
    let mut written: Vec<[f64; 2]> = Vec::new();
    for (point, at) in points {
        let Some(ink) = point.chosen else { continue };
        let [x, y] = axes.at(at[0], at[1]);
        let fill = Fill { ink, cover: 1.0 };
        canvas.circle([x, y], 5.0, Some(Pen::new(Ink::Paper, 1.5)), Some(fill));
        let places = [
            [9.0, -6.0],
            [9.0, 13.0],
            [-9.0, -6.0],
            [-9.0, 13.0],
            [9.0, -19.0],
        ];
        let free = |d: &[f64; 2]| {
            let p = [x + d[0], y + d[1]];
            let clear = |q: &[f64; 2]| (p[0] - q[0]).abs() > 26.0 || (p[1] - q[1]).abs() > 12.0;
            written.iter().all(clear) && p[0] > axes.left() + 14.0 && p[0] < axes.right() - 12.0
        };
        let shift = places.into_iter().find(free).unwrap_or(places[0]);
        let anchor = if shift[0] < 0.0 {
            Anchor::End
        } else {
            Anchor::Start
        };
        let place = [x + shift[0], y + shift[1]];
        written.push(place);
        let kind = Type::PLAIN.at(anchor).ink(ink).bold();
        canvas.text_over(place, &point.number.to_string(), kind);
    }
}

fn description(
    goals: [&FrontGoal; 2],
    points: &[(&FrontPoint, [f64; 2])],
    reference: Option<[f64; 2]>,
) -> String {
    let range = |k: usize| {
        let found = extent(points.iter().map(|p| p.1[k]));
        found.map_or(String::new(), |[a, b]| {
            let unit = &goals[k].unit;
            format!(
                "{} from {} to {}",
                named(goals[k]),
                value(a, unit),
                value(b, unit)
            )
        })
    };
    let submitted = reference.map_or(
        "The submitted vehicle has no values here.".to_owned(),
        |r| {
            let [x, y] = [value(r[0], &goals[0].unit), value(r[1], &goals[1].unit)];
            format!("The submitted vehicle lies at {x} and {y}.")
        },
    );
    format!(
        "{} candidates: {}; {}. {submitted}",
        points.len(),
        range(0),
        range(1)
    )
}
