//! Maps of steering error and slip over lean and steer.
//!
//! Steer is written as the steer angle that one wheel in the middle of the front axle would need
//! for the turn that the machine makes, atan(wheelbase · curvature): balanced turns then bound a
//! region of the map that depends on no linkage.

use super::draft::Draft;
use super::portrait::Portrait;
use crate::map::{Map, MapAxis, map};
use crate::picture::Picture;
use design::Reach;
use mechanics::{Point, Survey};
use std::cell::OnceCell;
use std::rc::Rc;

/// Standard acceleration of free fall, m/s² (ISO 80000-3).
const GRAVITY: f64 = 9.806_65;
const COLUMNS: usize = 25;
const ROWS: usize = 25;

/// Poses over lean (rising, along x first) and curvature (rising).
struct Field {
    leans_deg: Vec<f64>,
    steers_deg: Vec<f64>,
    points: Vec<Option<Point>>,
    wheelbase_m: f64,
}

/// A kind of map: name, heading, what its colours tell, value of a pose.
type Kind = (&'static str, &'static str, &'static str, fn(&Point) -> f64);

/// Both wheels slip by the same angle in opposite senses; on the right wheel it has the sign of
/// toe-in.
static KINDS: [Kind; 2] = [
    (
        "error_map",
        "Steering error",
        "error, ° (+ too much toe-in)",
        |p| p.error_deg,
    ),
    (
        "slip_map",
        "Slip",
        "slip angle of each front wheel, ° (+ toe-in)",
        |p| p.slip_deg[1],
    ),
];

/// Maps of steering error, one for each machine, then maps of slip.
pub(super) fn maps<'a>(portraits: &'a [&'a Portrait]) -> Vec<Draft<'a>> {
    let fields: Rc<[OnceCell<Option<Field>>]> = portraits.iter().map(|_| OnceCell::new()).collect();
    let of_kind = |kind: &'static Kind| {
        let fields = fields.clone();
        let one = move |(k, portrait): (usize, &&'a Portrait)| {
            let (fields, portrait) = (fields.clone(), *portrait);
            Draft::new(kind.0, move || {
                let field = fields[k].get_or_init(|| surveyed(portrait));
                field.as_ref().map(|field| draw(kind, portrait, field))
            })
        };
        portraits.iter().enumerate().map(one)
    };
    KINDS.iter().flat_map(of_kind).collect()
}

fn surveyed(portrait: &Portrait) -> Option<Field> {
    Some(field(&portrait.survey()?, &portrait.reach))
}

fn draw(&(_, title, quantity, of): &Kind, portrait: &Portrait, field: &Field) -> Picture {
    let title = match portrait.label.as_str() {
        "" => title.to_owned(),
        label => format!("{title}, {label}"),
    };
    map(&Map {
        title,
        quantity: quantity.to_owned(),
        x: axis("lean, °", &field.leans_deg, ["leans left", "leans right"]),
        y: axis("steer, °", &field.steers_deg, ["turns right", "turns left"]),
        values: field.points.iter().map(|p| p.as_ref().map(of)).collect(),
        signed: true,
        outlines: outlines(&portrait.reach, field.wheelbase_m),
    })
}

fn axis(title: &str, values: &[f64], ends: [&str; 2]) -> MapAxis {
    MapAxis {
        title: title.to_owned(),
        values: values.to_vec(),
        ends: ends.map(str::to_owned),
        reversed: false,
    }
}

fn field(survey: &Survey, reach: &Reach) -> Field {
    let contacts = survey.design().contact_mm;
    let wheelbase_m = 0.5e-3 * (contacts[0][0] + contacts[1][0]);
    let steer = |curvature: f64| libm::atan(wheelbase_m * curvature).to_degrees();
    let locks = survey.steering_ends(0.0).into_iter().flatten();
    let tightest = locks.map(|end| steer(end.at.curvature_per_m).abs());
    let widest = tightest
        .fold(steer(1.0 / reach.radius_m[0]), f64::max)
        .min(60.0);
    let leans_deg = even((1.25 * reach.lean_limit_deg).max(5.0), COLUMNS);
    let steers_deg = even(1.05 * widest, ROWS);
    let curvatures: Vec<f64> = steers_deg
        .iter()
        .map(|deg| libm::tan(deg.to_radians()) / wheelbase_m)
        .collect();
    let columns: Vec<Vec<Option<Point>>> = leans_deg
        .iter()
        .map(|lean| survey.over_curvature(*lean, &curvatures))
        .collect();
    let points = (0..ROWS).flat_map(|row| columns.iter().map(move |column| column[row]));
    Field {
        points: points.collect(),
        leans_deg,
        steers_deg,
        wheelbase_m,
    }
}

/// An odd number of even places from −end to end, zero among them.
fn even(end: f64, count: usize) -> Vec<f64> {
    let half = (count / 2) as f64;
    (0..count).map(|k| end * (k as f64 - half) / half).collect()
}

/// Outlines of the balanced turns to the left and to the right, in lean and steer.
fn outlines(reach: &Reach, wheelbase_m: f64) -> Vec<Vec<[f64; 2]>> {
    const STEPS: usize = 24;
    let [slow, fast] = reach.speed_mps;
    let [tight, wide] = reach.radius_m;
    let balanced = |v: f64, r: f64| libm::atan(v * v / (GRAVITY * r)).to_degrees();
    let most = reach.lean_limit_deg.min(balanced(fast, tight));
    let least = balanced(slow, wide);
    if most <= least {
        return Vec::new();
    }
    let steer = |curvature: f64| libm::atan(wheelbase_m * curvature).to_degrees();
    let leans = (0..=STEPS).map(|k| least + (most - least) * k as f64 / STEPS as f64);
    let bounds: Vec<[f64; 3]> = leans
        .map(|lean| {
            let need = GRAVITY * libm::tan(lean.to_radians());
            let low = (need / (fast * fast)).max(1.0 / wide);
            let high = if slow > 0.0 {
                need / (slow * slow)
            } else {
                f64::INFINITY
            };
            [lean, steer(low), steer(high.min(1.0 / tight).max(low))]
        })
        .collect();
    let there = bounds.iter().map(|[lean, low, _]| [*lean, *low]);
    let back = bounds.iter().rev().map(|[lean, _, high]| [*lean, *high]);
    let outline: Vec<[f64; 2]> = there.chain(back).collect();
    // A turn to the left (steer positive) is leaned into with a negative lean.
    let turned = |sign: f64| outline.iter().map(|[l, s]| [-sign * l, sign * s]).collect();
    vec![turned(1.0), turned(-1.0)]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_outline_keeps_to_balanced_turns() {
        let reach = Reach::default();
        let outlines = outlines(&reach, 1.15);
        assert_eq!(outlines.len(), 2);
        for [lean, steer] in outlines.concat() {
            assert!(lean * steer <= 0.0, "leaned into the turn");
            let curvature = libm::tan(steer.abs().to_radians()) / 1.15;
            // tan φ = v² K / g: no corner needs more than the fastest speed.
            let speed = (GRAVITY * libm::tan(lean.abs().to_radians()) / curvature).sqrt();
            assert!(speed <= 8.0 + 1e-9 && curvature <= 1.0 / 2.5 + 1e-12);
        }
    }

    #[test]
    fn places_are_even_and_hold_zero() {
        assert_eq!(even(2.0, 5), [-2.0, -1.0, 0.0, 1.0, 2.0]);
    }
}
