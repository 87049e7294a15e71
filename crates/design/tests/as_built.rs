//! Machines as built: planted deviations are found again from readings of toe, camber and height.

mod common;

use common::{changed, example_job};
use kinematics::{Linkage, Machine, Side, Target, V3};
use leanwright_design::{
    AsBuilt, AsBuiltFit, Axis, Fault, Reach, SideName, assessment, fit_as_built,
    fit_as_built_unless, machine, parse_as_built,
};
use serde_json::{Value, json};

/// xorshift (Marsaglia 2003) and Box & Muller (1958), apart from the program's own numbers.
struct Dice(u64);

impl Dice {
    fn share(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / (1u64 << 53) as f64
    }

    fn normal(&mut self) -> f64 {
        let radius = (-2.0 * (1.0 - self.share()).ln()).sqrt();
        radius * (2.0 * std::f64::consts::PI * self.share()).cos()
    }
}

fn about(p: V3<f64>, foot: V3<f64>, k: V3<f64>, angle: f64) -> V3<f64> {
    let v = p - foot;
    let (s, c) = angle.sin_cos();
    foot + v.scale(c) + k.cross(v).scale(s) + k.scale(k.dot(v) * (1.0 - c))
}

fn side_of(machine: &mut Machine, right: bool) -> &mut kinematics::Corner {
    match right {
        false => &mut machine.left,
        true => &mut machine.right,
    }
}

/// The rod of a side gets this length by turning the knuckle, by halving.
fn with_rod(machine: &mut Machine, right: bool, wanted: f64) {
    let corner = side_of(machine, right);
    let (drawn, foot) = (*corner, corner.lower.ball_joint);
    let k = (corner.upper.ball_joint - foot).unit();
    let length = |angle: f64| (about(drawn.rod_outer, foot, k, angle) - drawn.rod_inner).norm();
    let (mut low, mut high) = (-0.2, 0.2);
    let rising = length(high) > length(low);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        match (length(middle) < wanted) == rising {
            true => low = middle,
            false => high = middle,
        }
    }
    let angle = 0.5 * (low + high);
    corner.rod_outer = about(drawn.rod_outer, foot, k, angle);
    corner.wheel.centre = about(drawn.wheel.centre, foot, k, angle);
    corner.wheel.axis = about(drawn.wheel.axis, V3::new(0.0, 0.0, 0.0), k, angle);
}

/// What deviates: name, axis, standard deviation, and how to plant it.
type Plant = (
    &'static str,
    &'static str,
    f64,
    fn(&mut kinematics::Corner, f64),
);

const PLANTS: [Plant; 4] = [
    ("upper_wishbone.ball_joint_mm", "z", 2.0, |c, x| {
        c.upper.ball_joint.z += x
    }),
    ("lower_wishbone.rear_pivot_mm", "z", 2.0, |c, x| {
        c.lower.rear_pivot.z += x
    }),
    ("steering.rod_inner_mm", "z", 2.0, |c, x| c.rod_inner.z += x),
    ("upper_wishbone.front_pivot_mm", "y", 2.0, |c, x| {
        c.upper.front_pivot.y += x
    }),
];
const ROD_SIGMA: f64 = 1.0;

/// Planted deviations of both sides, mm; the rod's last.
type Planted = [[f64; 5]; 2];

fn planted(drawn: &Machine, by: &Planted) -> Machine {
    let mut built = *drawn;
    for right in [false, true] {
        let own = &by[usize::from(right)];
        let corner = side_of(&mut built, right);
        let rod = (corner.rod_outer - corner.rod_inner).norm();
        for (plant, x) in PLANTS.iter().zip(own) {
            plant.3(corner, *x);
        }
        with_rod(&mut built, right, rod + own[4]);
    }
    built
}

const POSES: [(f64, f64, f64); 13] = [
    (0.0, 0.0, -40.0),
    (0.0, 0.0, -20.0),
    (0.0, 0.0, 0.0),
    (0.0, 0.0, 20.0),
    (0.0, 0.0, 40.0),
    (-12.0, 0.0, 0.0),
    (-6.0, 0.0, 0.0),
    (6.0, 0.0, 0.0),
    (12.0, 0.0, 0.0),
    (0.0, -20.0, 0.0),
    (0.0, 20.0, 0.0),
    (8.0, -15.0, 0.0),
    (-8.0, 15.0, 0.0),
];

/// Readings of a machine with errors of 0.03°, 0.05° and 0.3 mm.
fn readings(built: &Machine, dice: &mut Dice) -> Vec<Value> {
    let linkage = Linkage::new(built).expect("assembles");
    let mut all = Vec::new();
    for (lean, steer, travel) in POSES {
        let pose = linkage
            .pose(&Target {
                lean: f64::to_radians(lean),
                steer: f64::to_radians(steer),
                mean_travel: Some(travel),
            })
            .expect("reached");
        let toe = |side| pose.steer_angle(side).to_degrees();
        let camber = |side| pose.corner(side).inclination_sin.asin().to_degrees();
        all.push(json!({
            "lean_deg": lean, "steer_deg": steer, "mean_travel_mm": travel,
            "toe_left_deg": -toe(Side::Left) + 0.03 * dice.normal(),
            "toe_right_deg": toe(Side::Right) + 0.03 * dice.normal(),
            "camber_left_deg": -camber(Side::Left) + 0.05 * dice.normal(),
            "camber_right_deg": camber(Side::Right) + 0.05 * dice.normal(),
            "height_mm": pose.height + 0.3 * dice.normal(),
        }));
    }
    all
}

fn unknowns() -> Value {
    let mut all: Vec<Value> = PLANTS
        .iter()
        .map(|(of, axis, sigma, _)| json!({"of": of, "axis": axis, "sigma_mm": sigma}))
        .collect();
    all.push(json!({"of": "rod_length", "sigma_mm": ROD_SIGMA}));
    json!(all)
}

fn asked(vehicle: &Value, readings: &[Value]) -> Value {
    json!({
        "vehicle": vehicle,
        "readings": readings,
        "exactness": {"toe_deg": 0.03, "camber_deg": 0.05, "height_mm": 0.3},
        "unknowns": unknowns(),
    })
}

fn parsed(asked: &Value) -> AsBuilt {
    parse_as_built(&asked.to_string()).unwrap_or_else(|faults| panic!("{faults:?}"))
}

fn fitted(asked: &Value) -> AsBuiltFit {
    fit_as_built(&parsed(asked)).unwrap_or_else(|faults| panic!("{faults:?}"))
}

/// A machine near the hauler: every coordinate of the left side off by up to 12 mm.
fn random_vehicle(dice: &mut Dice) -> Value {
    let mut vehicle = example_job()["vehicle"].clone();
    for point in [
        "/lower_wishbone/front_pivot_mm",
        "/lower_wishbone/rear_pivot_mm",
        "/lower_wishbone/ball_joint_mm",
        "/upper_wishbone/front_pivot_mm",
        "/upper_wishbone/rear_pivot_mm",
        "/upper_wishbone/ball_joint_mm",
        "/steering/rod_inner_mm",
        "/steering/rod_outer_mm",
    ] {
        for axis in 0..3 {
            let place = vehicle
                .pointer_mut(&format!("{point}/{axis}"))
                .expect("a number");
            *place = json!(place.as_f64().expect("a number") + 24.0 * (dice.share() - 0.5));
        }
    }
    vehicle
}

fn found(fit: &AsBuiltFit, of: &str, axis: Option<&str>, right: bool) -> (f64, f64) {
    let name = match (of, right) {
        ("rod_length", false) => "left rod_length".to_owned(),
        ("rod_length", true) => "right rod_length".to_owned(),
        (of, false) => of.to_owned(),
        (of, true) => format!("right.{of}"),
    };
    let same = |a: Option<Axis>| a.map(|a| ["x", "y", "z"][a as usize]) == axis;
    let mut all = fit.deviations.iter();
    let one = all.find(|d| d.of == name && same(d.axis)).expect("fitted");
    (one.deviation_mm, one.sigma_mm)
}

/// On sixty random machines every planted deviation is found within four of the stated standard
/// deviations, and these are neither too small nor too large: the errors in their terms have a
/// root mean square of about 1.
#[test]
fn planted_deviations_are_found_within_their_stated_uncertainty() {
    let mut dice = Dice(0x1234_5678_9abc_def1);
    let (mut sum, mut count, mut explained) = (0.0, 0, 0);
    for machine_number in 0..60 {
        let vehicle = random_vehicle(&mut dice);
        let drawn = machine(&parsed(&asked(&vehicle, &[json!({"height_mm": 0})])).vehicle);
        let mut by: Planted = [[0.0; 5]; 2];
        for side in &mut by {
            for (x, plant) in side.iter_mut().zip(&PLANTS) {
                *x = plant.2 * dice.normal();
            }
            side[4] = ROD_SIGMA * dice.normal();
        }
        let read = readings(&planted(&drawn, &by), &mut dice);
        let fit = fitted(&asked(&vehicle, &read));
        explained += u32::from(fit.explained);
        for right in [false, true] {
            let names = PLANTS
                .iter()
                .map(|p| (p.0, Some(p.1)))
                .chain([("rod_length", None)]);
            for ((of, axis), planted) in names.zip(by[usize::from(right)]) {
                let (deviation, sigma) = found(&fit, of, axis, right);
                let off = (deviation - planted) / sigma;
                assert!(
                    off.abs() < 4.0,
                    "{machine_number} {of}: {deviation} {planted} {sigma}"
                );
                sum += off * off;
                count += 1;
            }
        }
        for misfit in &fit.misfit {
            assert!(
                misfit.fitted < misfit.drawn || misfit.drawn < 0.5,
                "{misfit:?}"
            );
        }
    }
    let rms = (sum / f64::from(count)).sqrt();
    // Three standard errors of a root mean square of 600.
    assert!(
        (rms - 1.0).abs() < 3.0 / (2.0 * 600.0_f64).sqrt(),
        "{rms} of {count}"
    );
    // One in a hundred is expected not to be.
    assert!(explained >= 57, "{explained}");
}

/// A rod 1.5 mm too long and a bracket 3 mm too high, exact readings: both are named first, and
/// the rod alone sets the toe right again.
#[test]
fn the_remedy_brings_the_readings_back() {
    let vehicle = example_job()["vehicle"].clone();
    let drawn = machine(&parsed(&asked(&vehicle, &[json!({"height_mm": 0})])).vehicle);
    let by: Planted = [[0.0, 0.0, 3.0, 0.0, 1.5], [0.0; 5]];
    let mut still = Dice(7);
    let read = readings(&planted(&drawn, &by), &mut still);
    let changes = json!([
        {"of": "rod_length", "sigma_mm": 1},
        {"of": "steering.rod_inner_mm", "axis": "z", "side": "left", "sigma_mm": 3},
    ]);
    let file = changed(&asked(&vehicle, &read), &[("/changes", changes)]);
    let fit = fitted(&file);
    let mut first: Vec<&str> = fit.deviations[..2].iter().map(|d| d.of.as_str()).collect();
    first.sort_unstable();
    assert_eq!(first, ["left rod_length", "steering.rod_inner_mm"]);
    let remedy = fit.remedy.as_ref().expect("asked for");
    let change = |k: usize| (remedy.changes[k].of.as_str(), remedy.changes[k].by_mm);
    let ((left, a), (right, b), (bracket, c)) = (change(0), change(1), change(2));
    assert_eq!(
        (left, right, bracket),
        (
            "left rod_length",
            "right rod_length",
            "steering.rod_inner_mm"
        )
    );
    assert!(
        (a + 1.5).abs() < 0.3 && b.abs() < 0.3 && (c + 3.0).abs() < 0.6,
        "{a} {b} {c}"
    );
    // Every figure as read, drawn, fitted and mended, in order; the misfit is theirs.
    assert_eq!(fit.figures.len(), 5 * POSES.len());
    assert_eq!(fit.figures[6].figure, "toe_right_deg");
    assert_eq!(fit.figures[6].reading, 1);
    let toes = fit.figures.iter().filter(|f| f.figure.starts_with("toe"));
    let sum: f64 = toes
        .map(|f| (f.fitted - f.read) * (f.fitted - f.read))
        .sum();
    let rms = (sum / (2 * POSES.len()) as f64).sqrt();
    assert!((rms - fit.misfit[0].fitted).abs() < 1e-12);
    let off = |f: &leanwright_design::FigureRow| (f.mended.expect("mended") - f.drawn).abs();
    let most = fit
        .figures
        .iter()
        .filter(|f| f.figure.starts_with("toe"))
        .map(off);
    assert!(most.fold(0.0, f64::max) < 0.2);
    let toe = &remedy.misfit[0];
    assert!(
        toe.kind == "toe_deg" && toe.fitted < 0.1 * toe.drawn,
        "{toe:?}"
    );

    // Both machines come as files that the program reads and that give the same figures.
    for (mended, misfit) in [(&fit.vehicle, &fit.misfit[0]), (&remedy.vehicle, toe)] {
        let text = serde_json::to_string(mended).expect("JSON");
        let back = leanwright_design::parse_vehicle(&text).expect("a sound file");
        assert!(assessment(&back, &Reach::default()).is_ok());
        assert!(misfit.fitted <= misfit.drawn);
        let again = changed(
            &file,
            &[("/vehicle", serde_json::to_value(&back).expect("JSON"))],
        );
        let again = fitted(&again);
        if core::ptr::eq(mended, &fit.vehicle) {
            let toe = &again.misfit[0];
            assert!(
                (toe.drawn - misfit.fitted).abs() < 1e-3,
                "{toe:?} {misfit:?}"
            );
        }
    }
    assert_eq!(fit, fitted(&file), "a fit hangs on its file alone");
}

/// Points measured alone: each deviates as measured, as surely as it was measured, and the rods and
/// brackets that may be changed bring toe and camber back over lean and travel. By hand: without
/// readings the fit is the measurement itself.
#[test]
fn a_machine_that_was_measured_point_by_point() {
    let vehicle = example_job()["vehicle"].clone();
    let file = json!({
        "kind": "as_built",
        "name": "measured on the bench",
        "vehicle": vehicle,
        "measured": [
            {"point": "steering.rod_inner_mm", "at_mm": [-80, 30.5, 225], "sigma_mm": 0.4},
            {"point": "right.upper_wishbone.ball_joint_mm", "at_mm": [-8, -317, 330], "sigma_mm": 0.2},
        ],
        "changes": [
            {"of": "rod_length", "sigma_mm": 1},
            {"of": "steering.rod_inner_mm", "axis": "z", "side": "left", "sigma_mm": 3},
        ],
    });
    let fit = fitted(&file);
    let of = |of: &str, axis: &str| {
        let same = |a: Option<Axis>| a.map(|a| ["x", "y", "z"][a as usize]) == Some(axis);
        let mut all = fit.deviations.iter();
        let one = all.find(|d| d.of == of && same(d.axis)).expect("measured");
        (one.deviation_mm, one.sigma_mm, one.measured_mm)
    };
    let near = |found: (f64, f64, Option<f64>), by: f64, sigma: f64| {
        assert!(
            (found.0 - by).abs() < 1e-9 && (found.1 - sigma).abs() < 1e-9,
            "{found:?}"
        );
        assert!((found.2.expect("measured") - by).abs() < 1e-9);
    };
    assert_eq!(fit.deviations.len(), 6);
    let right = fit
        .deviations
        .iter()
        .filter(|d| d.side == Some(SideName::Right));
    assert_eq!(right.count(), 3);
    near(of("steering.rod_inner_mm", "z"), 3.0, 0.4);
    near(of("steering.rod_inner_mm", "y"), 0.5, 0.4);
    near(of("right.upper_wishbone.ball_joint_mm", "y"), -1.0, 0.2);
    assert_eq!((fit.readings, fit.figures.len()), (0, 0));
    let built = machine(&fit.vehicle);
    assert!((built.left.rod_inner - V3::new(-80.0, 30.5, 225.0)).norm() < 1e-9);
    let remedy = fit.remedy.as_ref().expect("asked for");
    let toe = &remedy.misfit[0];
    assert!(
        toe.kind == "toe_deg" && toe.count > 10 && toe.fitted < 0.1 * toe.drawn,
        "{toe:?}"
    );

    // A reading pulls a measured coordinate no further than its uncertainty lets it: read exactly as
    // drawn, a rod's end measured 3 mm high comes most of the way back where the measure is loose.
    let pulled = |sigma: f64| {
        let mut file = file.clone();
        file["measured"] = json!([
            {"point": "steering.rod_inner_mm", "at_mm": [-80, 30, 225], "sigma_mm": sigma},
        ]);
        let lean = |deg: f64| json!({"lean_deg": deg, "toe_left_deg": drawn_toe(&file, deg)});
        file["readings"] = json!([lean(-8.0), lean(8.0)]);
        let fit = fitted(&file);
        let mut all = fit.deviations.iter();
        let z = all.find(|d| d.axis == Some(Axis::Z)).expect("measured");
        z.deviation_mm
    };
    assert!((pulled(0.01) - 3.0).abs() < 0.05);
    assert!(pulled(5.0).abs() < 1.0, "{}", pulled(5.0));
}

/// Every demonstration is fitted, and its change brings the toe nearer to the drawing's.
#[test]
fn the_demonstrations_are_fitted_and_mended() {
    for text in [
        include_str!("../../../demo-jobs/as-built/orchard-hauler.json"),
        include_str!("../../../demo-jobs/as-built/measured.json"),
    ] {
        let asked = parse_as_built(text).unwrap_or_else(|faults| panic!("{faults:?}"));
        let fit = fit_as_built(&asked).unwrap_or_else(|faults| panic!("{faults:?}"));
        assert!(fit.explained && asked.kind.is_some() && !asked.name.is_empty());
        let toe = &fit.remedy.as_ref().expect("asked for").misfit[0];
        assert!(toe.fitted < 0.3 * toe.drawn, "{toe:?}");
        // What is written is read again as the same.
        let written = serde_json::to_string(&asked).expect("JSON");
        assert_eq!(parse_as_built(&written).as_ref(), Ok(&asked));
    }
}

/// A fit asks at every step whether it is wanted at all.
#[test]
fn a_fit_can_be_halted() {
    let vehicle = example_job()["vehicle"].clone();
    let drawn = machine(&parsed(&asked(&vehicle, &[json!({"height_mm": 0})])).vehicle);
    let by: Planted = [[1.0, 0.0, 3.0, 0.0, 1.5], [0.0; 5]];
    let read = readings(&planted(&drawn, &by), &mut Dice(7));
    let file = parsed(&asked(&vehicle, &read));
    let seen = std::cell::Cell::new(0);
    let after = |most: u32| {
        seen.set(0);
        let halted = || {
            seen.set(seen.get() + 1);
            seen.get() > most
        };
        fit_as_built_unless(&file, &halted).expect("no fault")
    };
    assert_eq!(after(0), None);
    assert_eq!(after(2), None);
    assert_eq!(
        seen.get(),
        4,
        "at the third step, and once more behind the search"
    );
    assert_eq!(after(1000), Some(fit_as_built(&file).expect("a fit")));
}

/// Toe-in of the left wheel of the drawing at a lean.
fn drawn_toe(file: &Value, lean_deg: f64) -> f64 {
    let drawn = machine(&parsed(file).vehicle);
    let target = Target {
        lean: lean_deg.to_radians(),
        steer: 0.0,
        mean_travel: None,
    };
    let pose = Linkage::new(&drawn)
        .expect("assembles")
        .pose(&target)
        .expect("reached");
    -pose.steer_angle(Side::Left).to_degrees()
}

fn refused(asked: &Value) -> Vec<Fault> {
    match parse_as_built(&asked.to_string()) {
        Err(faults) => faults,
        Ok(asked) => fit_as_built(&asked).expect_err("a fault"),
    }
}

/// Fewer figures than unknowns: which are not seen, and which are seen together only.
#[test]
fn too_few_readings_name_what_they_cannot_tell() {
    let vehicle = &example_job()["vehicle"];
    let upright = json!({"toe_left_deg": 0.3, "toe_right_deg": 0.1});
    let faults = refused(&asked(vehicle, &[upright]));
    assert_eq!(faults[0].pointer, "/unknowns");
    let message = &faults[0].message;
    assert!(
        message.starts_with("2 figures were read for 10 unknowns"),
        "{message}"
    );
    assert!(message.contains("do not see"), "{message}");
    assert!(
        message.contains("lower_wishbone.rear_pivot_mm z"),
        "{message}"
    );
    // Two coordinates that turn a wheel alike show as a pair.
    let mut file = asked(
        vehicle,
        &[
            json!({"toe_left_deg": 0.3}),
            json!({"toe_left_deg": 0.3}),
            json!({"toe_left_deg": 0.31}),
        ],
    );
    file["unknowns"] = json!([
        {"of": "rod_length", "side": "left", "sigma_mm": 1},
        {"of": "steering.rod_inner_mm", "axis": "y", "side": "left", "sigma_mm": 1},
    ]);
    let fit = fitted(&file);
    assert_eq!(fit.inseparable.len(), 1, "{:?}", fit.inseparable);
    let pair = &fit.inseparable[0];
    assert_eq!(
        (pair.one.as_str(), pair.other.as_str()),
        ("left rod_length", "steering.rod_inner_mm y")
    );
    let rod = fit
        .deviations
        .iter()
        .find(|d| d.of == "left rod_length")
        .expect("fitted");
    assert!(rod.sigma_mm > 0.6, "half of the doubt stays: {rod:?}");
}

#[test]
fn readings_that_no_pose_has_are_refused() {
    let vehicle = &example_job()["vehicle"];
    let base = asked(vehicle, &[json!({"toe_left_deg": 0.3})]);
    for (place, value, pointer, words) in [
        (
            "/readings/0",
            json!({"lean_deg": 45, "toe_left_deg": 0}),
            "/readings/0",
            "does not reach",
        ),
        (
            "/readings/0",
            json!({"lean_deg": 5}),
            "/readings/0",
            "no figure",
        ),
        (
            "/readings/0",
            json!({"toe": 0.1}),
            "/readings/0/toe",
            "toe_left_deg",
        ),
        (
            "/readings",
            json!([]),
            "/readings",
            "neither a reading nor a measured point",
        ),
        (
            "/exactness",
            json!({"toe_deg": 0}),
            "/exactness/toe_deg",
            "at least 0.0001",
        ),
        ("/unknowns", json!([]), "/unknowns", "nothing may deviate"),
        (
            "/measured",
            json!([{"point": "steering.rod_inner", "at_mm": [0, 1, 2], "sigma_mm": 1}]),
            "/measured/0/point",
            "steering.rod_inner_mm",
        ),
        (
            "/measured",
            json!([{"point": "right.rear_wheel.centre_mm", "at_mm": [0, 1, 2], "sigma_mm": 1}]),
            "/measured/0/point",
            "no point",
        ),
        (
            "/measured",
            json!([
                {"point": "steering.rod_outer_mm", "at_mm": [-80, 322, 222], "sigma_mm": 1},
                {"point": "steering.rod_outer_mm", "at_mm": [-80, 322, 222], "sigma_mm": 1},
            ]),
            "/measured/1/point",
            "stands here already",
        ),
        (
            "/measured",
            json!([{"point": "steering.rod_inner_mm", "at_mm": [-80, 30, 222], "sigma_mm": 1}]),
            "/unknowns/2",
            "was measured",
        ),
        (
            "/measured",
            json!([{"point": "steering.rod_outer_mm", "at_mm": [-80, 322], "sigma_mm": 1}]),
            "/measured/0/at_mm",
            "three numbers",
        ),
        ("/kind", json!("search"), "/kind", "as_built"),
        (
            "/unknowns/0",
            json!({"of": "upper_wishbone.ball_joint", "axis": "z", "sigma_mm": 1}),
            "/unknowns/0/of",
            "upper_wishbone.ball_joint_mm",
        ),
        (
            "/unknowns/0",
            json!({"of": "upper_wishbone.ball_joint_mm", "sigma_mm": 1}),
            "/unknowns/0",
            "needs an axis",
        ),
        (
            "/unknowns/0",
            json!({"of": "rod_length", "axis": "z", "sigma_mm": 1}),
            "/unknowns/0/axis",
            "no axis",
        ),
        (
            "/unknowns/0",
            json!({"of": "rear_wheel.centre_mm", "axis": "z", "side": "left", "sigma_mm": 1}),
            "/unknowns/0/side",
            "no side",
        ),
        (
            "/unknowns/0",
            json!({"of": "lean_coupling.pivot_mm", "axis": "z", "sigma_mm": 1}),
            "/unknowns/0/of",
            "no point",
        ),
        (
            "/unknowns/0",
            json!({"of": "rod_length", "sigma_mm": 1}),
            "/unknowns/4",
            "already",
        ),
        (
            "/unknowns/0",
            json!({"of": "upper_wishbone.ball_joint_mm", "axis": "z", "sigma_mm": 2, "most_mm": 1}),
            "/unknowns/0/most_mm",
            "within one",
        ),
    ] {
        let faults = refused(&changed(&base, &[(place, value)]));
        let hit = faults.iter().any(|f| {
            let text = format!("{} {}", f.message, f.allowed);
            f.pointer == pointer && text.contains(words)
        });
        assert!(hit, "{pointer} {words}: {faults:?}");
    }
}
