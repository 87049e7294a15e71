//! All hardpoints of candidates as a table: one row a point and side.

use super::sheet::{Cells, Sheet};
use design::{Candidate, Job};
use kinematics::{Corner, Coupling, Layout, Machine, V3};

/// A point of a machine.
struct Place {
    side: &'static str,
    point: &'static str,
    at: V3<f64>,
}

/// Every hardpoint of every candidate, in frame axes, mm, with its change since the vehicle that
/// its layout was submitted with. Left and right points stand in rows of their own, as the bench
/// needs them. Each candidate comes with its number on the front.
pub fn hardpoint_sheet(candidates: &[(usize, &Candidate)], job: &Job) -> Sheet {
    let before: Vec<Vec<Place>> = (0..job.layout_count())
        .map(|layout| places(&design::machine(&job.of_layout(layout).vehicle)))
        .collect();
    let rows: Vec<(usize, Place, V3<f64>)> = candidates
        .iter()
        .flat_map(|(number, candidate)| {
            let now = places(&design::machine(&candidate.vehicle));
            let drawn = before.get(candidate.layout_place()).unwrap_or(&before[0]);
            let pairs = now.into_iter().zip(drawn);
            pairs
                .map(|(place, old)| (*number, place, old.at))
                .collect::<Vec<_>>()
        })
        .collect();
    let mut sheet = Sheet::default();
    sheet.add(
        "candidate",
        Cells::Whole(rows.iter().map(|r| r.0 as i64).collect()),
    );
    let text = |pick: fn(&Place) -> &'static str| {
        Cells::Text(rows.iter().map(|r| pick(&r.1).to_owned()).collect())
    };
    sheet.add("side", text(|p| p.side));
    sheet.add("point", text(|p| p.point));
    let number = |pick: fn(&V3<f64>, &V3<f64>) -> f64| {
        Cells::Number(rows.iter().map(|r| Some(pick(&r.1.at, &r.2))).collect())
    };
    sheet.add("x_mm", number(|now, _| now.x));
    sheet.add("y_mm", number(|now, _| now.y));
    sheet.add("z_mm", number(|now, _| now.z));
    sheet.add("change_x_mm", number(|now, old| now.x - old.x));
    sheet.add("change_y_mm", number(|now, old| now.y - old.y));
    sheet.add("change_z_mm", number(|now, old| now.z - old.z));
    sheet
}

fn places(machine: &Machine) -> Vec<Place> {
    let mut out = corner("left", &machine.left);
    out.extend(corner("right", &machine.right));
    // A cross rod has no inner end.
    let crosses = matches!(machine.layout, Layout::CrossRod { .. });
    out.retain(|place| !crosses || place.point != "rod_inner");
    out.extend(steering(machine));
    if let Some(handlebar) = &machine.handlebar {
        out.push(middle("handlebar.point", handlebar.axis.point));
        out.push(middle("handlebar.arm_end", handlebar.arm_end));
        out.push(middle("handlebar.crank_end", handlebar.crank_end));
    }
    out.push(middle("rear_wheel.centre", machine.rear.centre));
    if let Coupling::Rocker(rocker) = &machine.coupling {
        out.push(middle("rocker.pivot", rocker.axis.point));
        let feet = [("left", rocker.left_foot), ("right", rocker.right_foot)];
        out.extend(feet.map(|(side, at)| Place {
            side,
            point: "rocker.link_foot",
            at,
        }));
    }
    out
}

fn steering(machine: &Machine) -> Vec<Place> {
    let crank = middle("crank.point", machine.crank.point);
    match machine.layout {
        Layout::Slider => Vec::new(),
        Layout::CentreCrank => vec![crank],
        Layout::IdlerParallelogram {
            idler,
            crank_end,
            idler_end,
        } => vec![
            crank,
            middle("idler.point", idler.point),
            middle("crank_end", crank_end),
            middle("idler_end", idler_end),
        ],
        Layout::CrossRod {
            drag_inner,
            drag_outer,
            ..
        } => vec![
            crank,
            middle("drag_link.inner", drag_inner),
            middle("drag_link.outer", drag_outer),
        ],
    }
}

fn middle(point: &'static str, at: V3<f64>) -> Place {
    Place {
        side: "middle",
        point,
        at,
    }
}

fn corner(side: &'static str, corner: &Corner) -> Vec<Place> {
    let (lower, upper) = (&corner.lower, &corner.upper);
    [
        ("lower_wishbone.front_pivot", lower.front_pivot),
        ("lower_wishbone.rear_pivot", lower.rear_pivot),
        ("lower_wishbone.ball_joint", lower.ball_joint),
        ("upper_wishbone.front_pivot", upper.front_pivot),
        ("upper_wishbone.rear_pivot", upper.rear_pivot),
        ("upper_wishbone.ball_joint", upper.ball_joint),
        ("rod_inner", corner.rod_inner),
        ("rod_outer", corner.rod_outer),
        ("wheel.centre", corner.wheel.centre),
    ]
    .map(|(point, at)| Place { side, point, at })
    .into()
}
