//! Loads, stub axle and wheel loads of one machine.

use super::html::{Html, Table};
use crate::figure::{capital, decimals, words};
use design::{AxleSheet, Figure, LoadRow, SideName, SpotRow, StrengthSheet};

/// The section; it opens with its own caution.
pub(super) fn strength(sheet: &StrengthSheet) -> Html {
    let mut out = Html::default();
    let care = "First figures, no proof: load cases are chosen, materials typical, stresses \
                nominal. Parts that carry a rider are designed, tested and signed for by someone \
                who answers for it; local rules and licensed practice go before these numbers.";
    out.push(Html::within("div", "care", Html::element("p", care)));
    out.paragraph(&format!("Load cases: {}", sheet.load_case_source));
    out.push(standing(sheet));
    out.push(loads(sheet));
    if sheet.standing.len() > 1 {
        out.paragraph("Forces and stub axle are those of the machine as drawn; \"Every quantity\" has the worst over all states of loading.");
    }
    if let Some(axle) = &sheet.stub_axle {
        out.push(spots(sheet, axle));
        out.paragraph(&format!(
            "Material {}. Source: {}. Smallest diameters from bearing bores with a factor of {} \
             against fatigue and first yield, from the root outwards: {}.",
            axle.material,
            axle.material_source,
            decimals(axle.least_safety, 2),
            smallest(axle)
        ));
    }
    out
}

fn smallest(axle: &AxleSheet) -> String {
    match &axle.smallest_diameters_mm {
        None => "none up to 60 mm".to_owned(),
        Some(all) => {
            let all: Vec<String> = all.iter().map(|d| decimals(*d, 0)).collect();
            format!("{} mm", all.join(", "))
        }
    }
}

fn standing(sheet: &StrengthSheet) -> Html {
    let slope = sheet.standing.first().map_or(0.0, |s| s.slope_deg);
    let mut table = Table::new(&format!(
        "Wheel loads in N (left front, right front, rear), on the level and parked upright on {}°; \
         below 0 the wheel would have to be held down",
        decimals(slope, 0)
    ))
    .words("Loading")
    .number("kg")
    .number("mean travel, mm")
    .words("level")
    .words("nose up")
    .words("nose down")
    .words("left side up")
    .words("right side up");
    for state in &sheet.standing {
        let three = |loads: [f64; 3]| Html::text(&loads.map(|n| decimals(n, 0)).join(", "));
        table.row(vec![
            Html::text(&capital(&state.loading)),
            Html::text(&decimals(state.total_kg, 0)),
            Html::text(
                &state
                    .mean_travel_mm
                    .map_or("not reached".into(), |mm| decimals(mm, 1)),
            ),
            three(state.level_n),
            three(state.nose_up_n),
            three(state.nose_down_n),
            three(state.left_up_n),
            three(state.right_up_n),
        ]);
    }
    table.finish()
}

/// The harder loaded side of each case.
fn loads(sheet: &StrengthSheet) -> Html {
    let mut table = Table::new(
        "Forces in N on the side with the larger force at a ball joint, in the hardest turn and \
         with the hardest struck wheel of each case; pull positive",
    )
    .words("Load case")
    .words("Side")
    .number("lower ball joint")
    .number("upper ball joint")
    .number("largest leg")
    .number("largest pivot")
    .number("rod")
    .number("coupling, N·m");
    for (index, name) in sheet.load_cases.iter().enumerate() {
        let own = sheet.loads.iter().filter(|l| l.load_case as usize == index);
        let sides =
            own.flat_map(|l: &LoadRow| [(SideName::Left, &l.left), (SideName::Right, &l.right)]);
        let hardest =
            sides.max_by(|a, b| largest(a.1, "ball_joint").total_cmp(&largest(b.1, "ball_joint")));
        let Some((side, figures)) = hardest else {
            continue;
        };
        let side = match side {
            SideName::Left => "left",
            SideName::Right => "right",
        };
        let cell = |x: f64| Html::text(&decimals(x, 0));
        table.row(vec![
            Html::text(&format!("{}. {}", index + 1, capital(name))),
            Html::text(side),
            cell(one(figures, "lower_ball_joint_n")),
            cell(one(figures, "upper_ball_joint_n")),
            cell(largest(figures, "leg")),
            cell(largest(figures, "pivot")),
            cell(one(figures, "rod_n")),
            cell(one(figures, "coupling_moment_nm")),
        ]);
    }
    table.finish()
}

fn one(figures: &[Figure], name: &str) -> f64 {
    let found = figures.iter().find(|f| f.name == name);
    found.and_then(|f| f.value).unwrap_or(f64::NAN)
}

fn largest(figures: &[Figure], part: &str) -> f64 {
    let named = figures.iter().filter(|f| f.name.contains(part));
    named.filter_map(|f| f.value).fold(
        0.0,
        |most, x| if x.abs() > f64::abs(most) { x } else { most },
    )
}

fn spots(sheet: &StrengthSheet, axle: &AxleSheet) -> Html {
    let mut table = Table::new(
        "Stub axle: smallest factors of safety over the load cases at each shoulder and under the \
         inner bearing, and Miner's sum (1 is failure)",
    )
    .number("mm from root")
    .number("diameter, mm")
    .number("K_t")
    .number("K_f")
    .number("endurance, MPa");
    let names = axle
        .spots
        .first()
        .map(|s| s.safety.as_slice())
        .unwrap_or_default();
    for safety in names {
        table = table.number(&words(&safety.criterion));
    }
    table = table.words("hardest case").number("Miner");
    for spot in &axle.spots {
        let mut row = vec![
            Html::text(&decimals(spot.place_mm, 1)),
            Html::text(&decimals(spot.diameter_mm, 1)),
            Html::text(&decimals(spot.concentration, 2)),
            Html::text(&decimals(spot.notch, 2)),
            Html::text(&decimals(spot.endurance_mpa, 0)),
        ];
        row.extend(
            spot.safety
                .iter()
                .map(|s| Html::text(&decimals(s.factor, 2))),
        );
        row.push(Html::text(hardest(sheet, spot)));
        row.push(Html::text(&format!("{:.1e}", spot.damage)));
        table.row(row);
    }
    table.finish()
}

fn hardest<'a>(sheet: &'a StrengthSheet, spot: &SpotRow) -> &'a str {
    let case = spot.safety.first().map_or(0, |s| s.load_case as usize);
    sheet.load_cases.get(case).map_or("", String::as_str)
}
