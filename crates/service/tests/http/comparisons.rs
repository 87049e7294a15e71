use leanwright_service::{Comparison, Kind};
use serde_json::{Value, json};

use crate::fronts::candidates;
use crate::world::World;

#[tokio::test]
async fn candidates_of_two_jobs_differ_by_their_quantities_and_points() {
    let world = World::new().await;
    let candidates = candidates();
    let first = world.publish(&candidates).await;
    let second = world.publish(&candidates).await;
    let body = json!({"candidates": [
        {"job": first.as_str(), "number": 0},
        {"job": second.as_str(), "number": 1},
    ]});
    let answer = world.post("/v1/comparisons", body.to_string()).await;
    let comparison: Comparison = serde_json::from_value(answer.json()).unwrap();

    for (goal, other) in candidates[0]["goals"]
        .as_array()
        .unwrap()
        .iter()
        .zip(candidates[1]["goals"].as_array().unwrap())
    {
        let rows = comparison.quantities.iter();
        let over = serde_json::to_value(rows.clone().map(|row| row.over).collect::<Vec<_>>());
        let row = rows
            .clone()
            .find(|row| {
                goal["quantity"] == row.quantity
                    && serde_json::to_value(row.over).unwrap() == goal["over"]
            })
            .unwrap_or_else(|| panic!("{goal} in {over:?}"));
        let values = [goal["value"].as_f64(), other["value"].as_f64()];
        assert_eq!(row.values, values);
        let difference = values[1].zip(values[0]).map(|(b, a)| b - a);
        assert_eq!(row.differences, [values[0].map(|_| 0.0), difference]);
    }
    for changed in candidates[1]["hardpoints"].as_array().unwrap() {
        let rows = comparison.hardpoints.iter();
        let row = rows
            .clone()
            .find(|row| changed["point"] == row.point)
            .unwrap();
        assert_eq!(json!(row.positions_mm[1]), changed["position_mm"]);
    }
    assert!(!comparison.hardpoints.is_empty());
}

#[tokio::test]
async fn a_saved_vehicle_is_measured_by_what_the_job_asks() {
    let world = World::new().await;
    let candidates = candidates();
    let job = world.publish(&candidates).await;
    let body = json!({"vehicle": candidates[1]["vehicle"], "name": "Kept"});
    let kept = world.post("/v1/vehicles", body.to_string()).await.json();
    let machines = [
        json!({"vehicle": kept["id"], "version": 1}),
        json!({"job": job.as_str(), "number": 1}),
        json!({"job": job.as_str(), "number": 0}),
    ];
    let ask = async |rest: Value| -> Comparison {
        let mut body = json!({ "candidates": machines });
        for (key, value) in rest.as_object().unwrap() {
            body[key] = value.clone();
        }
        let answer = world.post("/v1/comparisons", body.to_string()).await;
        serde_json::from_value(answer.json()).unwrap()
    };
    // The same machine twice: by the job's asks all figures are equal, to the last bit.
    let asked = ask(json!({})).await;
    assert_eq!(
        asked.labels,
        ["Kept, version 1", "candidate 1", "candidate 0"]
    );
    assert_eq!(asked.feasible[0], candidates[1]["feasible"].as_bool());
    for row in &asked.quantities {
        assert_eq!(row.values[0], row.values[1], "{row:?}");
        assert_eq!(row.margins[0], row.margins[1], "{row:?}");
    }
    for row in &asked.hardpoints {
        assert_eq!(row.positions_mm[0], row.positions_mm[1], "{row:?}");
    }
    assert!(
        asked
            .hardpoints
            .iter()
            .any(|row| row.positions_mm[0] != row.positions_mm[2])
    );

    // Every quantity is that of the assessment over the job's reach.
    let every = ask(json!({"every": true, "pictures": ["top_view", "steer_over_lean"]})).await;
    assert_eq!(every.feasible, [None, None, None]);
    let reach = serde_json::from_str::<Value>(crate::world::JOB).unwrap()["reach"].clone();
    let mut body = json!({"vehicle": candidates[0]["vehicle"]});
    if !reach.is_null() {
        body["reach"] = reach;
    }
    let alone = world.post("/v1/assessments", body.to_string()).await.json();
    let all = alone["quantities"].as_array().unwrap();
    assert_eq!(every.quantities.len(), all.len());
    for (row, own) in every.quantities.iter().zip(all) {
        assert_eq!(
            (json!(row.quantity), json!(row.values[2])),
            (own["quantity"].clone(), own["value"].clone())
        );
    }
    let names: Vec<&str> = every.pictures.iter().map(|p| p.name.as_str()).collect();
    assert_eq!(names, ["top_view", "steer_over_lean"]);
    assert!(every.pictures[0].svg.contains("Kept, version 1"));
}

#[tokio::test]
async fn a_comparison_names_what_it_cannot_find() {
    let world = World::new().await;
    let done = world.publish(&candidates()).await;
    let queued = world.submit().await;
    let with = |job: &str, number: u32| {
        json!({"candidates": [{"job": done.as_str(), "number": 0}, {"job": job, "number": number}]})
            .to_string()
    };
    let ask = async |body: String| world.post("/v1/comparisons", body).await;
    ask(with(done.as_str(), 99)).await.problem(Kind::NotFound);
    ask(with("nonsense", 0)).await.problem(Kind::NotFound);
    ask(with(queued.as_str(), 0)).await.problem(Kind::NoFront);
    let gone = json!({"candidates": [{"vehicle": "0123456789abcdef", "version": 1}]});
    ask(gone.to_string()).await.problem(Kind::NotFound);
    let half = json!({"candidates": [{"job": done.as_str(), "version": 1}]});
    let half = ask(half.to_string()).await.problem(Kind::BadInput);
    assert_eq!(half.faults[0].pointer, "/candidates/0");
    let none = ask("{\"candidates\": []}".into())
        .await
        .problem(Kind::BadInput);
    assert_eq!(none.faults[0].pointer, "/candidates");
    let many = json!({"candidates": vec![json!({"job": done.as_str(), "number": 0}); 65]});
    ask(many.to_string()).await.problem(Kind::BadInput);
    world.still_serves().await;
}
