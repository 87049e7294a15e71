//! Steering correctness and turning against textbook geometry.

mod common;

use common::*;
use kinematics::{Corner, Linkage, Machine, Side};
use leanwright_mechanics::{FrontWheels, Over, Point, Quantity, Stop, Survey};

/// Upright kingpins through the contacts, no trail, thin discs: the textbook's
/// idealisation. `pivots` and `wheelbase` in mm.
fn textbook(pivots: f64, wheelbase: f64, arm: [f64; 2], crank_arm: [f64; 2]) -> Machine {
    let y = 0.5 * pivots;
    let mut front = wheel(v(0.0, y, 250.0));
    front.section_radius = 0.0;
    let mut rear = wheel(v(-wheelbase, 0.0, 250.0));
    rear.section_radius = 0.0;
    let left = Corner {
        lower: wishbone([60.0, 75.0, 175.0], [-60.0, 75.0, 175.0], [0.0, y, 175.0]),
        upper: wishbone([60.0, 75.0, 330.0], [-60.0, 75.0, 330.0], [0.0, y, 330.0]),
        rod_inner: v(crank_arm[0], crank_arm[1], 222.0),
        rod_outer: v(arm[0], y + arm[1], 222.0),
        wheel: front,
    };
    mirrored(left, rear, v(0.0, 0.0, 222.0))
}

/// A long crank and rods along y, so that the wheels turn far before anything comes into line.
fn far_turning(pivots: f64, wheelbase: f64) -> Machine {
    textbook(pivots, wheelbase, [-120.0, -30.0], [-120.0, 30.0])
}

fn point_at(machine: &Machine, curvature_per_m: f64) -> Point {
    let linkage = Linkage::new(machine).expect("assembles");
    let survey = Survey::new(&linkage, &bare()).expect("settings make sense");
    let curve = survey.over_steer(0.0);
    assert!(curve.len() > 8, "a curve to both stops");
    survey.over_curvature(0.0, &[curvature_per_m])[0].expect("the curvature is reached")
}

/// Contacts of an upright machine, mm.
fn contacts(wheelbase: f64, track: f64) -> [[f64; 2]; 2] {
    [[wheelbase, 0.5 * track], [wheelbase, -0.5 * track]]
}

/// cot δ_out − cot δ_in = T / L with the actual contacts (Khurmi & Gupta, *Theory of Machines*,
/// ch. 9; page from memory), on a linkage that keeps the contacts where they are.
#[test]
fn no_error_means_the_cotangent_identity() {
    let (pivots, wheelbase) = (800.0, 1900.0);
    for k in [-0.3, -0.1, 0.1, 0.3] {
        let point = point_at(&far_turning(pivots, wheelbase), k);
        for (is, should) in point.contact_mm.iter().zip(contacts(wheelbase, pivots)) {
            assert!((is[0] - should[0]).abs() < 1e-6 && (is[1] - should[1]).abs() < 1e-6);
        }
        let ideal = FrontWheels::new(point.contact_mm, [0.0; 2]);
        let ideal = ideal.ideal_steer_deg(point.curvature_per_m);
        let cot = |degrees: f64| 1.0 / degrees.to_radians().tan();
        let identity = cot(ideal[1]) - cot(ideal[0]);
        assert!((identity - pivots / wheelbase).abs() < 1e-9, "{identity}");
        let e = (point.steer_deg[1] - point.steer_deg[0]) - (ideal[1] - ideal[0]);
        assert!(
            (point.error_deg - e).abs() < 1e-9,
            "{} {e}",
            point.error_deg
        );
    }
}

/// Wheelbase 280 cm, pivots 140 cm, outer 30°: cot(inner) = √3 − 0.5, inner 39.0647° (an exam
/// book's worked problem, seen).
#[test]
fn exam_problem_of_the_ideal_pair_has_no_error() {
    let pair = FrontWheels::new(contacts(2800.0, 1400.0), [39.0647, 30.0]);
    assert!(pair.error_deg().abs() < 1e-4, "{}", pair.error_deg());
    let [left, right] = pair.slip_deg();
    assert!(left.abs() < 1e-4 && right.abs() < 1e-4);
    let off = FrontWheels::new(contacts(2800.0, 1400.0), [39.5647, 30.0]);
    assert!(
        off.error_deg().abs() > 0.3,
        "half a degree too much must show"
    );
}

/// Turning, L 1.9 m, T 0.80 m, zero scrub, tyre 50 mm wide: inner 40° → outer 31.80046°, rear
/// 2.66433 m, outer front contact 3.60557 m, kerb to kerb 7.26114 m (derived).
#[test]
fn turning_row_of_the_short_hauler() {
    let pair = FrontWheels::new(contacts(1900.0, 800.0), [40.0, 31.80046]);
    let rear = 1.0 / pair.curvature_per_m();
    assert!((rear - 2.66433).abs() < 1e-5, "{rear}");
    assert!(pair.error_deg().abs() < 1e-5);
    // On a linkage whose stop is set so that the rear contact turns on this very radius.
    let mut machine = far_turning(800.0, 1900.0);
    for wheel in [&mut machine.left.wheel, &mut machine.right.wheel] {
        wheel.section_radius = 25.0;
    }
    let crank = point_at(&machine, 1.0 / rear).crank_deg.abs();
    let mut stopped = bare();
    stopped.stop_angle_deg = Some(crank);
    let linkage = Linkage::new(&machine).expect("assembles");
    let survey = Survey::new(&linkage, &stopped).expect("settings make sense");
    for end in survey.steering_ends(0.0).expect("upright") {
        assert_eq!(end.stop, Stop::StopAngle);
        assert!((end.radius_rear_m - 2.66433).abs() < 1e-5);
        assert!((end.radius_kerb_m - 25e-3 - 3.60557).abs() < 1e-5);
        assert!((2.0 * end.radius_kerb_m - 7.26114).abs() < 2e-5);
    }
}

/// A worked problem that is not true Ackermann: wheelbase 2.743 m, pivots 1.065 m, track 1.217 m,
/// inner lock 40°, outer 32°: outer front radius 5.25 m, inner rear 3.18 m (seen, tolerance
/// 0.03 m). It takes each radius from its own wheel, as the implied curvatures do.
#[test]
fn exam_problem_that_is_not_ideal() {
    let (base, pivots, track) = (2743.0, 1065.0, 1217.0);
    let pair = FrontWheels::new(contacts(base, pivots), [40.0, 32.0]);
    let [inner, outer] = pair.implied_curvature_per_m().map(|k| 1e3 / k);
    let overhang = 0.5 * (track - pivots);
    let outer_front = (base * base + (outer + 0.5 * pivots).powi(2)).sqrt() + overhang;
    let inner_rear = inner - 0.5 * pivots - overhang;
    assert!((outer_front - 5250.0).abs() < 30.0, "{outer_front}");
    assert!((inner_rear - 3180.0).abs() < 30.0, "{inner_rear}");
    // The ideal partner of 40° is 32.33°: the wheels turn a little too differently.
    // About the mean of both turn centres the error is −0.40301° (derived from the definition).
    let error = pair.error_deg();
    assert!((error + 0.40301).abs() < 1e-5, "{error}");
}

/// Davis gear: tan α = c / 2b makes the error vanish at every steer angle; c 1.2 m, b 2.7 m gives
/// 12.53° (Khurmi & Gupta, ch. 9; numbers from memory). Its slots move a shift p at the distance
/// d: tan(α + outer) = tan α + p/d, tan(α − inner) = tan α − p/d.
#[test]
fn davis_gear_has_no_error() {
    let (c, b) = (1200.0_f64, 2700.0_f64);
    let steer = |alpha: f64, shift: f64| {
        let inner = alpha - (alpha.tan() - shift).atan();
        let outer = (alpha.tan() + shift).atan() - alpha;
        FrontWheels::new(contacts(b, c), [inner.to_degrees(), outer.to_degrees()])
    };
    let alpha = 12.53_f64.to_radians();
    for shift in [0.1, 0.2, 0.4, 0.6] {
        assert!(steer(alpha, shift).error_deg().abs() < 5e-3);
        let exact = (c / (2.0 * b)).atan();
        assert!(steer(exact, shift).error_deg().abs() < 1e-10);
    }
    assert!(
        steer(1.2 * alpha, 0.4).error_deg().abs() > 0.3,
        "another angle errs"
    );
}

/// Arms along the heading and rods along y turn both wheels alike: too parallel for a turn, so e
/// is positive whichever way it goes.
#[test]
fn parallel_wheels_have_positive_error_both_ways() {
    let machine = textbook(800.0, 1900.0, [-120.0, 0.0], [-120.0, 30.0]);
    for k in [-0.2, 0.2] {
        let point = point_at(&machine, k);
        assert!(point.error_deg > 0.0, "{} at {k}", point.error_deg);
    }
    let toed_in = FrontWheels::new(contacts(1900.0, 800.0), [-0.5, 0.5]);
    assert!((toed_in.error_deg() - 1.0).abs() < 1e-9);
}

/// The slips are opposite and equal, and no other centre on the line does better; where both
/// wheels imply one curvature, error and slips vanish together.
#[test]
fn slips_are_opposite_equal_and_smallest() {
    let linkage = Linkage::new(&hauler()).expect("assembles");
    let survey = Survey::new(&linkage, &bare()).expect("settings make sense");
    let points = survey.over_curvature(6.0, &[0.05, 0.1, 0.15, -0.1]);
    assert!(points.iter().all(Option::is_some));
    for point in points.into_iter().flatten() {
        let [left, right] = point.slip_deg;
        assert!((left + right).abs() < 1e-9, "{left} {right}");
        assert!(left.abs() > 0.01, "this machine does slip");
        for step in -200..=200 {
            let k = 1e-3 * (point.curvature_per_m + 1e-4 * f64::from(step));
            let slip = |i: usize| {
                let [x, y] = point.contact_mm[i];
                point.steer_deg[i] - (k * x).atan2(1.0 - k * y).to_degrees()
            };
            assert!(slip(0).abs().max(slip(1).abs()) >= left.abs() - 1e-9);
        }
        let mut scrub_free = FrontWheels::new(point.contact_mm, [0.0; 2]);
        let ideal = scrub_free.ideal_steer_deg(point.curvature_per_m);
        scrub_free = FrontWheels::new(point.contact_mm, ideal);
        let [kl, kr] = scrub_free.implied_curvature_per_m();
        assert!((kl - kr).abs() < 1e-12 && scrub_free.error_deg().abs() < 1e-10);
    }
}

/// Radii at the steering stop follow from the contacts and the wheels' angles there.
#[test]
fn radii_at_the_stop_are_those_of_the_pose() {
    let linkage = Linkage::new(&hauler()).expect("assembles");
    let survey = Survey::new(&linkage, &bare()).expect("settings make sense");
    for end in survey.steering_ends(0.0).expect("upright") {
        let sense = if end.turn == Side::Left { 1.0 } else { -1.0 };
        let kappa = |i: usize| {
            let [x, y] = end.at.contact_mm[i];
            let d = end.at.steer_deg[i].to_radians();
            sense * d.sin() / (x * d.cos() + y * d.sin())
        };
        let radius = 2.0 / (kappa(0) + kappa(1));
        let [x, y] = end.at.contact_mm[1 - end.turn as usize];
        let kerb = (x * x + (y - sense * radius).powi(2)).sqrt() + 23.5;
        assert!((end.radius_rear_m - 1e-3 * radius).abs() < 1e-9);
        assert!((end.radius_kerb_m - 1e-3 * kerb).abs() < 1e-9);
        let least = end
            .at
            .knuckle_angle_deg
            .into_iter()
            .chain(end.at.crank_angle_margin_deg);
        let least = least.fold(f64::INFINITY, f64::min);
        assert!(
            (least - 15.0).abs() < 1e-6,
            "stopped at the smallest transmission angle"
        );
    }
}

/// Wall to wall is at least kerb to kerb, at every lean, and above it with a wide load.
#[test]
fn wall_is_never_below_kerb() {
    let bare = bare();
    let mut wide = bare.clone();
    wide.fittings.overhangs = vec![v(300.0, 600.0, 400.0), v(300.0, -600.0, 400.0)];
    for lean in [-9.0, 0.0, 6.0] {
        let over = Over::Lean([lean, lean]);
        let of = |s, quantity| answer(&hauler(), s, quantity, over).value;
        let kerb = of(&bare, Quantity::TurningRadiusKerb);
        let wall = of(&bare, Quantity::TurningRadiusWall);
        assert!(
            wall >= kerb && wall < kerb + 1e-9,
            "the tyres are all there is"
        );
        assert!(of(&wide, Quantity::TurningRadiusWall) > kerb + 0.1);
        assert!(of(&wide, Quantity::TurningRadiusInner) < kerb);
    }
}
