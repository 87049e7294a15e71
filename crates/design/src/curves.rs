//! Curves and stops of one machine on the wire.

use crate::answer::WorstPose;
use crate::assessed::{Curve, Line, Stop};
use crate::convert::{self, stop_text};
use crate::vehicle::Vehicle;
use kinematics::Side;
use mechanics::{CablePoint, Point, Survey};

/// Travel of the bump curve either way, mm, and its step.
const TRAVEL: [f64; 2] = [60.0, 5.0];
/// Least lean of the lean curves either way, degrees, and their step.
const LEAN: [f64; 2] = [15.0, 1.0];

/// One line: name, unit, value of a point.
type Of<'a> = (&'a str, &'a str, &'a dyn Fn(&Point) -> f64);

/// Every curve of a machine; lean runs to `lean_deg` or 15°, whichever is more.
pub(crate) fn curves(survey: &Survey, lean_deg: f64) -> Vec<Curve> {
    let lean = lean_deg.max(LEAN[0]);
    let travelled = survey.over_travel([-TRAVEL[0], TRAVEL[0]], TRAVEL[1]);
    let leaned = survey.over_lean([-lean, lean], LEAN[1], 0.0);
    let steered = survey.over_steer(0.0);
    let mut all = vec![over_travel(&travelled)];
    all.extend(over_lean(&leaned));
    all.extend(over_steer(&steered));
    all
}

fn curve(name: &str, title: &str, points: &[Point], x: Of, lines: &[Of]) -> Curve {
    let line = |(name, unit, value): &Of| Line {
        name: (*name).into(),
        unit: (*unit).into(),
        values: points
            .iter()
            .map(|p| Some(value(p)).filter(|v| v.is_finite()))
            .collect(),
    };
    Curve {
        name: name.into(),
        title: title.into(),
        x: line(&x),
        lines: lines.iter().map(line).collect(),
    }
}

fn over_travel(points: &[Point]) -> Curve {
    curve(
        "toe_over_travel",
        "Toe over mean travel, upright and straight",
        points,
        ("travel_mm", "mm", &|p| p.travel_mm),
        &[
            ("toe_in_left_deg", "deg", &|p| p.toe_in_deg[0]),
            ("toe_in_right_deg", "deg", &|p| p.toe_in_deg[1]),
        ],
    )
}

fn over_lean(points: &[Point]) -> Vec<Curve> {
    let x: Of = ("lean_deg", "deg", &|p| p.lean_deg);
    let curve = |name: &str, title: &str, lines: &[Of]| curve(name, title, points, x, lines);
    let mut all = vec![
        curve(
            "steer_over_lean",
            "Steer angles over lean, crank straight",
            &[
                ("steer_left_deg", "deg", &|p| p.steer_deg[0]),
                ("steer_right_deg", "deg", &|p| p.steer_deg[1]),
                ("steer_common_deg", "deg", &|p| {
                    0.5 * (p.steer_deg[0] + p.steer_deg[1])
                }),
                ("steer_difference_deg", "deg", &|p| {
                    p.steer_deg[1] - p.steer_deg[0]
                }),
            ],
        ),
        curve(
            "ball_joints_over_lean",
            "Ball joint angles over lean",
            &[
                ("lower_left_deg", "deg", &|p| p.ball_joint_deg[0][0]),
                ("upper_left_deg", "deg", &|p| p.ball_joint_deg[0][1]),
                ("lower_right_deg", "deg", &|p| p.ball_joint_deg[1][0]),
                ("upper_right_deg", "deg", &|p| p.ball_joint_deg[1][1]),
            ],
        ),
        curve(
            "rod_ends_over_lean",
            "Misalignment of the rod ends over lean",
            &[
                ("inner_left_deg", "deg", &|p| p.rod_end_deg[0][0]),
                ("outer_left_deg", "deg", &|p| p.rod_end_deg[0][1]),
                ("inner_right_deg", "deg", &|p| p.rod_end_deg[1][0]),
                ("outer_right_deg", "deg", &|p| p.rod_end_deg[1][1]),
            ],
        ),
    ];
    let link_ends: Vec<String> = points
        .first()
        .into_iter()
        .flat_map(|p| p.link_rod_end_deg.into_iter().flatten())
        .map(|(joint, _)| format!("{}_deg", joint_word(joint)))
        .collect();
    if !link_ends.is_empty() {
        let end = |k: usize| move |p: &Point| p.link_rod_end_deg[k].map_or(f64::NAN, |e| e.1);
        let values: Vec<_> = (0..link_ends.len()).map(end).collect();
        let named = link_ends.iter().zip(&values);
        let lines: Vec<Of> = named
            .map(|(name, value)| (name.as_str(), "deg", value as &dyn Fn(&Point) -> f64))
            .collect();
        all.push(curve(
            "drag_links_over_lean",
            "Misalignment of the drag links' ends over lean",
            &lines,
        ));
    }
    all.extend(cables(points, x, "over_lean", "over lean"));
    all.extend([
        curve(
            "contacts_over_lean",
            "Sideways movement of the contacts over lean",
            &[
                ("track_change_mm", "mm", &|p| p.track_change_mm),
                ("scrub_left_mm", "mm", &|p| p.sideways_scrub_mm[0]),
                ("scrub_right_mm", "mm", &|p| p.sideways_scrub_mm[1]),
            ],
        ),
        curve(
            "frame_height_over_lean",
            "Height of the frame over lean",
            &[("height_change_mm", "mm", &|p| p.height_change_mm)],
        ),
        curve(
            "frame_pitch_over_lean",
            "Pitch of the frame over lean",
            &[("pitch_deg", "deg", &|p| p.pitch_deg)],
        ),
    ]);
    all
}

/// What the cables do, where there are any.
fn cables(points: &[Point], x: Of, suffix: &str, over: &str) -> Vec<Curve> {
    if points.iter().all(|p| p.cables.is_none()) {
        return Vec::new();
    }
    let of =
        |pick: fn(&CablePoint) -> f64| move |p: &Point| p.cables.as_ref().map_or(f64::NAN, pick);
    let one = |name: &str, title: &str, lines: &[Of]| {
        let (name, title) = (format!("{name}_{suffix}"), format!("{title} {over}"));
        curve(&name, &title, points, x, lines)
    };
    vec![
        one(
            "cable_handlebar",
            "Handlebar as the cables turn it, and its give under the hands",
            &[
                ("handlebar_deg", "deg", &of(|c| c.handlebar_deg)),
                ("stretch_deg", "deg", &of(|c| c.stretch_deg)),
            ],
        ),
        one(
            "cable_length",
            "Change of the cables' paths, and slack",
            &[
                ("path_change_mm", "mm", &of(|c| c.path_change_mm)),
                ("slack_mm", "mm", &of(|c| c.slack_mm)),
            ],
        ),
    ]
}

/// The joint's word in files.
fn joint_word(joint: mechanics::Joint) -> String {
    let word = serde_json::to_value(convert::joint_name(joint)).unwrap_or_default();
    word.as_str().unwrap_or_default().to_owned()
}

/// The abscissa is the mean steer angle of the wheels, positive left, whatever the crank does.
fn over_steer(points: &[Point]) -> Vec<Curve> {
    let x: Of = ("steer_deg", "deg", &mean_steer);
    let mut points = points.to_vec();
    points.sort_by(|a, b| mean_steer(a).total_cmp(&mean_steer(b)));
    let curve = |name: &str, title: &str, lines: &[Of]| curve(name, title, &points, x, lines);
    let mut all = vec![
        curve(
            "error_over_steer",
            "Steering error over steer, upright",
            &[("error_deg", "deg", &|p| p.error_deg)],
        ),
        curve(
            "ratio_over_steer",
            "Steering ratio over steer, upright",
            &[("steering_ratio", "", &|p| p.steering_ratio)],
        ),
        curve(
            "angles_over_steer",
            "Knuckle angles and crank margins over steer, upright",
            &[
                ("knuckle_left_deg", "deg", &|p| p.knuckle_angle_deg[0]),
                ("knuckle_right_deg", "deg", &|p| p.knuckle_angle_deg[1]),
                ("crank_left_deg", "deg", &|p| p.crank_angle_margin_deg[0]),
                ("crank_right_deg", "deg", &|p| p.crank_angle_margin_deg[1]),
            ],
        ),
    ];
    if points.iter().all(|p| p.handlebar_link_deg.is_some()) {
        let end = |p: &Point, k: usize| p.handlebar_link_deg.map_or(f64::NAN, |deg| deg[k]);
        all.push(curve(
            "handlebar_link_over_steer",
            "Angles of the handlebar's drag link over steer, upright",
            &[
                ("at_crank_deg", "deg", &|p| end(p, 0)),
                ("at_handlebar_deg", "deg", &|p| end(p, 1)),
            ],
        ));
    }
    all.extend(cables(&points, x, "over_steer", "over steer, upright"));
    if points.iter().all(|p| p.rise_mm.is_some()) {
        all.push(curve(
            "rise_over_steer",
            "Rise of the centre of gravity over steer, upright",
            &[("rise_mm", "mm", &|p| p.rise_mm.unwrap_or(f64::NAN))],
        ));
        all.push(curve(
            "torque_over_steer",
            "Handlebar torque from that rise, upright",
            &[("handlebar_torque_nm", "N·m", &|p| {
                p.handlebar_torque_nm.unwrap_or(f64::NAN)
            })],
        ));
        all.push(curve(
            "parking_torque_over_steer",
            "Handlebar torque of the parked machine over steer, turned away from straight",
            &[
                ("rise_nm", "N·m", &|p| {
                    p.handlebar_torque_nm.unwrap_or(f64::NAN)
                }),
                ("tyres_nm", "N·m", &|p| {
                    p.scrub_torque_nm.unwrap_or(f64::NAN)
                }),
                ("whole_nm", "N·m", &|p| whole_parked(p)),
            ],
        ));
    }
    all
}

fn whole_parked(p: &Point) -> f64 {
    let parts = [
        p.handlebar_torque_nm,
        p.scrub_torque_nm,
        Some(p.friction_nm),
    ];
    parts.iter().map(|part| part.unwrap_or(f64::NAN)).sum()
}

/// Least lean of the curve over lean in a turn, degrees, and how many leans it has.
const TURN_LEANS: usize = 8;

/// Handlebar torque in right turns of one radius, leaned as each speed balances; nothing without
/// masses.
pub(crate) fn in_turns(survey: &Survey, lean_deg: f64, radius_m: f64) -> Option<Curve> {
    let leans = (1..=TURN_LEANS).map(|k| lean_deg * k as f64 / TURN_LEANS as f64);
    let points: Vec<Point> = leans
        .flat_map(|lean| survey.over_curvature(lean, &[-1.0 / radius_m]))
        .flatten()
        .collect();
    let weighed = points.iter().all(|p| p.handlebar_torque_nm.is_some());
    (weighed && points.len() > 1).then(|| {
        let side = |p: &Point| p.side_torque_nm.unwrap_or(f64::NAN);
        let rise = |p: &Point| p.handlebar_torque_nm.unwrap_or(f64::NAN);
        curve(
            "riding_torque_over_lean",
            &format!("Handlebar torque in a right turn of {radius_m} m over lean"),
            &points,
            ("lean_deg", "deg", &|p| p.lean_deg),
            &[
                ("rise_nm", "N·m", &rise),
                ("side_force_nm", "N·m", &side),
                ("both_nm", "N·m", &|p| rise(p) + side(p)),
            ],
        )
    })
}

fn mean_steer(p: &Point) -> f64 {
    0.5 * (p.steer_deg[0] + p.steer_deg[1])
}

/// What ends the steering, upright and leaned into the turn, and the lean.
pub(crate) fn stops(survey: &Survey, lean_deg: f64, vehicle: &Vehicle) -> Vec<Stop> {
    let mut all = Vec::new();
    all.extend(
        survey
            .steering_ends(0.0)
            .into_iter()
            .flatten()
            .map(|end| steering("", &end, vehicle)),
    );
    // Roll is positive to the right: a left turn is leaned into with a negative lean.
    for (lean, turn) in [(lean_deg, Side::Right), (-lean_deg, Side::Left)] {
        let ends = survey.steering_ends(lean).into_iter().flatten();
        all.extend(
            ends.filter(|e| e.turn == turn)
                .map(|end| steering("_leaned", &end, vehicle)),
        );
    }
    all.extend(survey.lean_ends(0.0).into_iter().flatten().map(|end| {
        let ended = end.stop != mechanics::Stop::SweepEnd;
        Stop {
            motion: format!("lean_{}", end.to),
            at: ended.then(|| end.at.lean_deg.abs()),
            inner_and_outer_deg: None,
            unit: "deg".into(),
            cause: stop_text(end.stop, vehicle),
            pose: pose(&end.at),
        }
    }));
    all
}

fn steering(suffix: &str, end: &mechanics::SteeringEnd, vehicle: &Vehicle) -> Stop {
    Stop {
        motion: format!("steer_{}{suffix}", end.turn),
        at: Some(mean_steer(&end.at).abs()),
        inner_and_outer_deg: Some(inner_and_outer(end)),
        unit: "deg".into(),
        cause: stop_text(end.stop, vehicle),
        pose: pose(&end.at),
    }
}

/// Steer angles of the wheel inside and the wheel outside the turn, positive into it.
fn inner_and_outer(end: &mechanics::SteeringEnd) -> [f64; 2] {
    let [left, right] = end.at.steer_deg;
    match end.turn {
        Side::Left => [left, right],
        Side::Right => [-right, -left],
    }
}

fn pose(at: &Point) -> WorstPose {
    WorstPose {
        lean_deg: at.lean_deg,
        steer_deg: at.crank_deg,
        travel_mm: at.travel_mm,
        side: None,
        joint: None,
        load_case: None,
        loading: None,
        axle_spot: None,
    }
}
