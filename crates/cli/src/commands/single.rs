//! `assess` and `pose`: one vehicle, computed here.

use design::{Assessment, PoseQuestion, QuantityValue, Reach, SideName, Vehicle};
use service::Problem;

use crate::args::{Assess, Pose};
use crate::exit::Outcome;
use crate::table::{Table, number};
use crate::{files, output};

/// Prints the assessment of a vehicle.
pub fn assess(args: &Assess, json: bool) -> Result<Outcome, Problem> {
    let vehicle = vehicle(&args.vehicle)?;
    let loading = args.loading.as_deref();
    let answer = design::assessment_in(&vehicle, &Reach::default(), loading);
    let answer = answer.map_err(service::faulty)?;
    if json {
        output::json(&answer)?;
    } else {
        output::line(&text(&answer))?;
    }
    Ok(Outcome::Done)
}

/// Prints one pose of a vehicle.
pub fn pose(args: &Pose, json: bool) -> Result<Outcome, Problem> {
    let vehicle = vehicle(&args.vehicle)?;
    let question = PoseQuestion {
        lean_deg: args.lean_deg,
        steer_deg: args.steer_deg,
        steer_mm: args.steer_mm,
        mean_travel_mm: args.mean_travel_mm,
    };
    let answer = design::pose(&vehicle, &question).map_err(service::no_pose)?;
    if json {
        output::json(&answer)?;
    } else {
        output::line(&pose_text(&answer))?;
    }
    Ok(Outcome::Done)
}

fn vehicle(path: &std::path::Path) -> Result<Vehicle, Problem> {
    let text = files::read_json(path)?;
    design::parse_vehicle(&text).map_err(service::faulty)
}

fn text(assessment: &Assessment) -> String {
    let mut parts = vec![assessment.name.clone()];
    parts.push(quantities(&assessment.quantities));
    let mut set_up = Table::new(["set-up", "left", "right"].map(str::to_owned));
    if let [left, right] = assessment.set_up.as_slice() {
        for (l, r) in left.figures.iter().zip(&right.figures) {
            set_up.row([l.name.clone(), number(l.value), number(r.value)]);
        }
    }
    parts.push(set_up.text());
    let stops = assessment.stops.iter().map(|stop| {
        let at = number(stop.at);
        let wheels = stop.inner_and_outer_deg.map_or(String::new(), |wheels| {
            let [inner, outer] = wheels.map(|angle| number(Some(angle)));
            format!(" as the mean of both wheels (inner {inner}, outer {outer})")
        });
        format!(
            "{} stops at {at} {}{wheels}: {}",
            stop.motion, stop.unit, stop.cause
        )
    });
    parts.push(stops.collect::<Vec<_>>().join("\n"));
    parts.push(assessment.notes.join("\n"));
    parts.push(assessment.cautions.join("\n"));
    parts.retain(|part| !part.is_empty());
    parts.join("\n\n")
}

fn quantities(entries: &[QuantityValue]) -> String {
    let mut table = Table::new(["quantity", "value", "worst at", "cause"].map(str::to_owned));
    for entry in entries {
        table.row([
            entry.quantity.clone(),
            number(entry.value),
            worst(entry),
            entry.cause.clone().unwrap_or_default(),
        ]);
    }
    table.text()
}

/// The pose where a quantity is worst, in as many words as it differs from the design pose.
fn worst(entry: &QuantityValue) -> String {
    let Some(pose) = &entry.worst else {
        return String::new();
    };
    let drives = [
        ("lean", pose.lean_deg, "°"),
        ("crank", pose.steer_deg, "°"),
        ("travel", pose.travel_mm, " mm"),
    ];
    let moved = drives.iter().filter(|(_, value, _)| *value != 0.0);
    let mut words: Vec<String> = moved
        .map(|(name, value, unit)| format!("{name} {value:.1}{unit}"))
        .collect();
    if words.is_empty() {
        words.push("design pose".to_owned());
    }
    words.extend(pose.side.map(|side| match side {
        SideName::Left => "left".to_owned(),
        SideName::Right => "right".to_owned(),
    }));
    let joint = pose
        .joint
        .and_then(|joint| serde_json::to_value(joint).ok());
    words.extend(joint.and_then(|name| Some(name.as_str()?.replace('_', " "))));
    words.extend(entry.state.clone());
    let pair = entry.between.as_ref();
    words.extend(pair.map(|[a, b]| format!("between {a} and {b}")));
    words.join(", ")
}

fn pose_text(pose: &design::PoseAnswer) -> String {
    let mut table = Table::new(["", "left", "right"].map(str::to_owned));
    let (left, right) = (&pose.left, &pose.right);
    let point = |p: [f64; 3]| p.map(|x| format!("{x:.3}")).join(" ");
    let rows = [
        (
            "contact, ground axes, mm",
            left.contact_mm,
            right.contact_mm,
        ),
        (
            "wheel centre, frame axes, mm",
            left.wheel_centre_mm,
            right.wheel_centre_mm,
        ),
        (
            "lower ball joint, mm",
            left.lower_ball_joint_mm,
            right.lower_ball_joint_mm,
        ),
        (
            "upper ball joint, mm",
            left.upper_ball_joint_mm,
            right.upper_ball_joint_mm,
        ),
        ("rod outer end, mm", left.rod_outer_mm, right.rod_outer_mm),
    ];
    let angle = |value: f64| format!("{value:.4}");
    table.row([
        "heading, deg, left +".into(),
        angle(left.heading_deg),
        angle(right.heading_deg),
    ]);
    let inclinations = [left, right].map(|corner| angle(corner.inclination_deg));
    let [l, r] = inclinations;
    table.row(["inclination, deg, top right +".into(), l, r]);
    for (name, l, r) in rows {
        table.row([name.to_owned(), point(l), point(r)]);
    }
    format!(
        "{}\nrear contact, ground axes, mm: {}\nframe: height change {:.4} mm, pitch {:.4} deg \
         nose down +",
        table.text(),
        point(pose.rear.contact_mm),
        pose.frame.height_change_mm,
        pose.frame.pitch_deg
    )
}
