use leanwright_service::{Comparison, Kind};
use serde_json::json;

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
    let none = ask("{\"candidates\": []}".into())
        .await
        .problem(Kind::BadInput);
    assert_eq!(none.faults[0].pointer, "/candidates");
    let many = json!({"candidates": vec![json!({"job": done.as_str(), "number": 0}); 65]});
    ask(many.to_string()).await.problem(Kind::BadInput);
    world.still_serves().await;
}
