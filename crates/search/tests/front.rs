//! Reading a front.

use leanwright_search::{Point, knees, nearest};

fn front(goals: &[[f64; 2]]) -> Vec<Point> {
    goals
        .iter()
        .map(|g| Point {
            vector: vec![0.0],
            goals: g.to_vec(),
        })
        .collect()
}

#[test]
fn a_bent_front_has_its_knee_where_it_bends() {
    // Two straight arms that meet at (1, 10), in units that differ tenfold.
    let arm = (0..10).map(|i| [1.0 - f64::from(i) * 0.1, 10.0 + f64::from(i) * 9.0]);
    let other = (1..10).map(|i| [1.0 + f64::from(i), 10.0 - f64::from(i)]);
    let mut goals: Vec<[f64; 2]> = arm.chain(other).collect();
    goals.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let points = front(&goals);
    let found = knees(&points);
    assert_eq!(found.len(), 1);
    assert_eq!(points[found[0]].goals, [1.0, 10.0]);
}

#[test]
fn straight_and_bulging_fronts_have_none() {
    let straight: Vec<[f64; 2]> = (0..20)
        .map(|i| [f64::from(i), 19.0 - f64::from(i)])
        .collect();
    assert!(knees(&front(&straight)).is_empty());
    let bulge: Vec<[f64; 2]> = (0..20)
        .map(|i| (f64::from(i) * 0.08).sin_cos())
        .map(|(s, c)| [s, c])
        .collect();
    assert!(knees(&front(&bulge)).is_empty());
    assert!(knees(&[]).is_empty() && knees(&front(&[[1.0, 2.0]])).is_empty());
}

#[test]
fn the_nearest_falls_short_least() {
    // The first goal's extent is 10, the second's 100.
    let points = front(&[[0.0, 100.0], [2.0, 40.0], [5.0, 20.0], [10.0, 0.0]]);
    // Short of (2, 20) by, in extents: 0.8, 0.2, 0.3, 0.8.
    let order = nearest(&points, &[Some(2.0), Some(20.0)], 4);
    assert_eq!(order[..2], [1, 2]);
    // With one goal aspired to only that one counts.
    assert_eq!(nearest(&points, &[None, Some(-5.0)], 1), [3]);
    assert_eq!(nearest(&points, &[Some(-5.0)], 1), [0]);
    assert!(nearest(&[], &[Some(1.0)], 3).is_empty());
}
