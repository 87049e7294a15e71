//! From vectors to candidates: offsets, the workshop's grid, margins, the budget.

mod common;

use common::{changed, example_job, rod_ends};
use leanwright_design::{Candidate, Compiled, parse_job};
use serde_json::{Value, json};

fn compiled(job: &Value) -> Compiled {
    let job = parse_job(&job.to_string()).expect("the job is sound");
    Compiled::new(&job).expect("the job compiles")
}

fn moved<'a>(candidate: &'a Candidate, point: &str) -> &'a leanwright_design::Hardpoint {
    candidate
        .hardpoints
        .iter()
        .find(|h| h.point == point)
        .unwrap_or_else(|| panic!("{point} has not moved: {:?}", candidate.hardpoints))
}

#[test]
fn a_vector_moves_points_and_their_load() {
    let candidate = compiled(&example_job()).candidate(&[-3.7, 10.0, 5.0, 20.0, 7.1, 12.3]);
    assert_eq!(
        moved(&candidate, "steering.rod_outer_mm").position_mm,
        [-80.0, 318.3, 232.0]
    );
    assert_eq!(
        moved(&candidate, "steering.rod_outer_mm").offset_mm,
        [0.0, -3.7, 10.0]
    );
    assert_eq!(
        moved(&candidate, "upper_wishbone.front_pivot_mm").position_mm[2],
        342.3
    );
    assert_eq!(
        moved(&candidate, "upper_wishbone.rear_pivot_mm").position_mm[2],
        342.3
    );
    assert_eq!(
        moved(&candidate, "steering.crank.point_mm").position_mm,
        [-100.0, 0.0, 222.0]
    );
    assert_eq!(
        candidate.vehicle.steering.rod_outer_mm(),
        [-80.0, 318.3, 232.0]
    );
    // Rod lengths follow from the ends: √(0² + (318.3 − 35)² + (232 − 222)²).
    let length = (283.3f64 * 283.3 + 100.0).sqrt();
    assert!((candidate.rod_lengths.left_mm - length).abs() < 1e-9);
    assert_eq!(
        candidate.rod_lengths.left_mm,
        candidate.rod_lengths.right_mm
    );
}

#[test]
fn rounding_stays_on_the_grid_inside_the_range() {
    let job = compiled(&changed(&rod_ends(), &[("/grid_mm", json!(0.7))]));
    let rounded = job.round(&[-30.0, 24.9, 0.34, 0.36, 1e9, -1e9]);
    // Multiples of 0.7 inside −30…20, −40…25, −15…75, −30…40, −15…70, −15…75.
    assert_eq!(rounded, [-29.4, 24.5, 0.0, 0.7, 70.0, -14.7]);
    assert_eq!(job.round(&rounded), rounded);
    let free = compiled(&changed(&rod_ends(), &[("/grid_mm", json!(0.1))]));
    assert_eq!(free.round(&[0.30000000000000004; 6])[0], 0.3);
}

#[test]
fn a_candidate_says_what_evaluate_says() {
    let job = compiled(&rod_ends());
    let mut scratch = job.scratch();
    let vector = [1.0, -2.5, 3.0, 0.4, 5.0, -6.0];
    let evaluation = job.evaluate(&vector, &mut scratch);
    let candidate = job.candidate(&vector);
    let goals: Vec<f64> = candidate.goals.iter().map(|g| g.value.unwrap()).collect();
    assert_eq!(goals, evaluation.goals);
    assert_eq!(
        candidate.feasible,
        evaluation.violations.iter().all(|v| *v <= 0.0)
    );
    assert_eq!(evaluation, job.evaluate(&vector, &mut scratch));
    // The vehicle that the candidate carries is a sound file and the same machine.
    let text = serde_json::to_string(&candidate.vehicle).unwrap();
    assert_eq!(
        leanwright_design::parse_vehicle(&text).unwrap(),
        candidate.vehicle
    );
}

#[test]
fn a_maximised_goal_is_negated_inside() {
    let job = changed(
        &rod_ends(),
        &[("/goals/2", json!({"maximise": "transmission_angle_deg"}))],
    );
    let job = compiled(&job);
    let evaluation = job.evaluate(&[0.0; 6], &mut job.scratch());
    let shown = job.candidate(&[0.0; 6]).goals[2].value.unwrap();
    assert_eq!(evaluation.goals[2], -shown);
}

#[test]
fn the_budget_is_whole_epochs_of_all_islands() {
    let budget = compiled(&rod_ends()).budget();
    let round = u64::from(budget.islands) * u64::from(budget.epoch_evaluations);
    assert_eq!(budget.evaluations, u64::from(budget.epochs) * round);
    assert!(budget.evaluations >= budget.asked && budget.evaluations < budget.asked + round);
    assert!((500..=5000).contains(&budget.epoch_evaluations));
    assert_eq!(
        budget.epoch_evaluations as usize % search::BORDER as usize,
        0
    );
}

/// Two quantities of the set-up cost some microseconds: an epoch of one island is over before a claim
/// of another would be.
#[test]
fn a_very_cheap_job_has_several_epochs_in_a_slice() {
    let mut job = example_job();
    job["goals"] = json!([{"minimise": "kingpin_inclination_deg"}, {"minimise": "caster_deg"}]);
    job["requirements"] = json!([]);
    let budget = compiled(&job).budget();
    assert!(budget.epochs_together > 1, "{budget:?}");
    assert_eq!(budget.epochs % budget.epochs_together, 0);
    assert_eq!(
        (budget.lanes(), budget.rounds()),
        (1, budget.epochs / budget.epochs_together)
    );
    let epoch = u64::from(budget.islands) * u64::from(budget.epoch_evaluations);
    assert_eq!(budget.evaluations, u64::from(budget.epochs) * epoch);
    let more = budget.evaluations - budget.asked;
    assert!(more < epoch * u64::from(budget.epochs_together));
    // Never from the budget, so that a longer run goes on from the same slices.
    job["search"]["evaluations"] = json!(10_000_000);
    assert_eq!(
        compiled(&job).budget().epochs_together,
        budget.epochs_together
    );
    job["search"]["early_stop"] = json!({"epochs": 3, "gain": 0.01});
    assert_eq!(
        compiled(&job).budget().epochs_together,
        1,
        "every border may end it"
    );
    let usual = compiled(&rod_ends()).budget();
    assert_eq!((usual.epochs_together, usual.lanes()), (1, usual.islands));
}

#[test]
fn machines_built_count_in_the_cost() {
    let mut job = rod_ends();
    assert!(!compiled(&job).is_costly());
    job["goals"][0]["at"] = json!("p95");
    let job = compiled(&job);
    assert!(job.is_costly());
    assert_eq!(job.epoch_evaluations(), 500);
}

#[test]
fn a_job_with_another_search_needs_no_second_look() {
    let first = compiled(&rod_ends());
    let mut other = rod_ends();
    other["name"] = json!("again");
    other["search"] = json!({"evaluations": 100_000, "seed": 9, "front": 7, "study_points": 3});
    let parsed = parse_job(&other.to_string()).unwrap();
    let again = first.again(&parsed).expect("a job alike");
    let anew = compiled(&other);
    assert_eq!(
        (again.job(), again.seed(), again.front_size()),
        (&parsed, 9, 7)
    );
    assert_eq!(again.budget(), anew.budget());
    assert_eq!(again.findings(), anew.findings());
    let vector = [1.0; 6];
    let evaluated = |job: &Compiled| job.evaluate(&vector, &mut job.scratch());
    assert_eq!(evaluated(&again), evaluated(&anew));
    for (pointer, value) in [
        ("/vehicle/name", json!("another")),
        ("/goals/0/aspiration", json!(0.1)),
        ("/reach", json!({"parking": false})),
        ("/tolerance", json!({"sigma_mm": 0.2})),
    ] {
        let other = changed(&rod_ends(), &[(pointer, value)]);
        let parsed = parse_job(&other.to_string()).unwrap();
        assert!(first.again(&parsed).is_none(), "{pointer}");
    }
}

#[test]
fn vectors_of_a_careless_caller() {
    let job = compiled(&rod_ends());
    let mut scratch = job.scratch();
    for vector in [
        vec![],
        vec![0.0; 5],
        vec![f64::NAN; 6],
        vec![f64::INFINITY; 6],
        vec![1e300; 6],
    ] {
        let evaluation = job.evaluate(&vector, &mut scratch);
        assert!(
            evaluation.apart.is_some_and(|a| (0.0..=5.0).contains(&a)),
            "{vector:?}"
        );
        assert!(job.candidate(&vector).failure.is_some());
    }
}

#[test]
fn rod_ends_alone_can_keep_what_the_demo_promises() {
    // A vector that a search found; each rod end stays 30 mm above the lower wishbone's pivots.
    let vector = [-28.3, -5.2, -2.2, 40.0, 35.2, 0.6];
    let candidate = compiled(&rod_ends()).candidate(&vector);
    assert!(candidate.feasible, "{candidate:#?}");
    let value = |i: usize| candidate.goals[i].value.unwrap();
    assert!(
        value(0) <= 0.05 && value(1) <= 0.05,
        "{} {}",
        value(0),
        value(1)
    );
    assert_eq!(candidate.vector, compiled(&rod_ends()).round(&vector));
}

#[test]
fn margins_are_positive_inside_the_limit() {
    let requirements = json!([
        {"quantity": "caster_deg", "within": [3, 5]},
        {"quantity": "caster_deg", "at_most": 4},
        {"quantity": "track_mm", "at_least": 780, "at_most": 785, "tolerance": 2.5},
    ]);
    let job = compiled(&changed(&rod_ends(), &[("/requirements", requirements)]));
    let candidate = job.candidate(&[0.0; 6]);
    // By hand: caster atan(12/160) = 4.289°, track 2 × 395 mm.
    let margins: Vec<f64> = candidate
        .requirements
        .iter()
        .map(|r| r.margin.unwrap())
        .collect();
    let caster = (12.0f64 / 160.0).atan().to_degrees();
    assert!((margins[0] - (5.0 - caster)).abs() < 1e-9, "{margins:?}");
    assert!((margins[1] - (4.0 - caster)).abs() < 1e-9, "{margins:?}");
    assert!((margins[2] + 5.0).abs() < 1e-9, "{margins:?}");
    assert!(!candidate.feasible);
    let violations = job.evaluate(&[0.0; 6], &mut job.scratch()).violations;
    // 5 mm beyond with a tolerance of 2.5 mm; degrees count in tenths.
    assert!(
        violations[0] < 0.0 && (violations[2] - 2.0).abs() < 1e-9,
        "{violations:?}"
    );
    assert!(
        (violations[1] - 10.0 * (caster - 4.0)).abs() < 1e-9,
        "{violations:?}"
    );
    assert_eq!(violations.len(), job.violations().len());
}
