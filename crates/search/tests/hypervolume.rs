//! Hypervolumes that are known from outside.
#![allow(clippy::unwrap_used)]

use leanwright_search::{HypervolumeFault, hypervolume};

fn check(points: &[&[f64]], reference: &[f64], expected: f64) {
    let found = hypervolume(points, reference).unwrap();
    assert!(
        (found - expected).abs() <= 1e-12 * expected.abs(),
        "{found}, expected {expected}"
    );
}

/// Derived values on which two general libraries (moocore and pymoo) agree.
#[test]
fn small_exact_vectors() {
    check(&[&[0.0, 1.0], &[0.5, 0.5], &[1.0, 0.0]], &[2.0, 2.0], 3.25);
    check(
        &[&[1.0, 2.0, 3.0], &[3.0, 1.0, 2.0], &[2.0, 3.0, 1.0]],
        &[4.0; 3],
        13.0,
    );
    check(
        &[&[1.0, 0.0, 0.0], &[0.0, 1.0, 0.0], &[0.0, 0.0, 1.0]],
        &[2.0; 3],
        7.0,
    );
    let four: [&[f64]; 3] = [&[1.0, 2.0, 3.0, 4.0], &[4.0, 3.0, 2.0, 1.0], &[2.0; 4]];
    check(&four, &[5.0; 4], 93.0);
}

/// Derived: boxes whose volumes can be done by hand.
#[test]
fn degenerate_fronts() {
    check(&[], &[1.0, 1.0], 0.0);
    check(&[&[0.25]], &[1.0], 0.75);
    for goals in 1..=6 {
        let (half, one, two) = (vec![0.5; goals], vec![1.0; goals], vec![2.0; goals]);
        let expected = 0.5f64.powi(goals as i32);
        check(&[&half, &half, &half], &one, expected);
        // A point on the reference, one beyond it, and a dominated one add nothing.
        check(&[&half, &one, &two, &vec![0.75; goals]], &one, expected);
    }
}

/// Derived: with k goals, the k unit points e_i and reference 2 dominate all of the box of side 2
/// but the unit cube at the origin, whatever k.
#[test]
fn unit_points_leave_the_unit_cube() {
    for goals in 2..=6 {
        let points: Vec<Vec<f64>> = (0..goals)
            .map(|i| (0..goals).map(|j| f64::from(u8::from(i == j))).collect())
            .collect();
        let found = hypervolume(&points, &vec![2.0; goals]).unwrap();
        let expected = 2f64.powi(goals as i32) - 1.0;
        assert!((found - expected).abs() < 1e-12, "{goals} goals: {found}");
    }
}

/// Printed for the best ten points on the front of ZDT1, reference (11, 11): 120.613761 (Auger,
/// Bader, Brockhoff & Zitzler, optimal distributions of points). An even spread of so many points
/// must stay a little below, and the front's limit is 120 + 2/3.
#[test]
fn zdt1_front_stays_below_its_limit() {
    let front = |n: usize| -> Vec<[f64; 2]> {
        (0..n)
            .map(|i| i as f64 / (n - 1) as f64)
            .map(|x| [x, 1.0 - x.sqrt()])
            .collect()
    };
    let ten = hypervolume(&front(10), &[11.0, 11.0]).unwrap();
    assert!(ten < 120.613_761 && ten > 120.55, "{ten}");
    let many = hypervolume(&front(20_001), &[11.0, 11.0]).unwrap();
    assert!((many - 120.666_667).abs() < 1e-4, "{many}");
}

#[test]
fn faults_name_the_point() {
    let short = hypervolume(&[vec![1.0]], &[2.0, 2.0]);
    assert_eq!(
        short,
        Err(HypervolumeFault::Width {
            index: 0,
            expected: 2,
            found: 1
        })
    );
    assert!(matches!(
        hypervolume(&[[1.0, f64::NAN]], &[2.0, 2.0]),
        Err(HypervolumeFault::Value { index: 0, .. })
    ));
    assert!(matches!(
        hypervolume(&[[1.0, 1.0]], &[2.0, f64::INFINITY]),
        Err(HypervolumeFault::Value { index: 1, .. })
    ));
    let none: [Vec<f64>; 0] = [];
    assert_eq!(
        hypervolume(&none, &[]),
        Err(HypervolumeFault::Goals { found: 0 })
    );
}

/// Random and degenerate fronts of two to six goals, recorded from moocore 0.3.2 by
/// data/hypervolumes.py.
#[test]
fn equals_the_outside_library() {
    let mut fronts = 0;
    for line in include_str!("data/hypervolumes.txt").lines() {
        let words: Vec<&str> = line.split(' ').collect();
        let (goals, count): (usize, usize) = (words[0].parse().unwrap(), words[1].parse().unwrap());
        let numbers: Vec<f64> = words[2..]
            .iter()
            .map(|word| word.parse().unwrap())
            .collect();
        let (reference, rest) = numbers.split_at(goals);
        let (points, expected) = rest.split_at(goals * count);
        let points: Vec<&[f64]> = points.chunks(goals).collect();
        let found = hypervolume(&points, reference).unwrap();
        let near = (found - expected[0]).abs() <= 1e-10 * expected[0].abs().max(1e-10);
        assert!(
            near,
            "{goals} goals, {count} points: {found}, expected {}",
            expected[0]
        );
        fronts += 1;
    }
    assert_eq!(fronts, 30);
}
