//! Single pictures.

use crate::common::{EXAMPLE, assert_harmless, parse};
use kinematics::{Linkage, Target};
use leanwright_drawing::{
    Aspect, BarRow, Chart, ChartLine, Dash, Front, FrontGoal, FrontPoint, Ink, Map, MapAxis,
    Picture, Posed, ViewText, bars, chart, front, map, view,
};

const NASTY: &str = "</svg><script>alert(1)</script>\"'&\u{0}\u{7}=x";

/// Both forms are well-formed, harmless, and say to a screen reader what they are.
fn check(picture: &Picture) {
    for text in [picture.document(), picture.inline()] {
        let document = parse(&text);
        assert_harmless(&document);
        let root = document.root_element();
        assert_eq!(root.tag_name().name(), "svg");
        assert_eq!(root.attribute("role"), Some("img"));
        let mut inner = root.children().filter(|n| n.is_element());
        for name in ["title", "desc"] {
            let node = inner.next().unwrap();
            assert_eq!(node.tag_name().name(), name);
            assert!(node.text().is_some_and(|t| !t.trim().is_empty()));
        }
        let sizes = root.descendants().filter_map(|n| n.attribute("font-size"));
        assert!(
            sizes.map(|s| s.parse::<f64>().unwrap()).all(|s| s >= 8.5),
            "legible text"
        );
    }
}

fn line(subject: &str, points: Vec<(f64, Option<f64>)>) -> ChartLine {
    ChartLine {
        subject: subject.into(),
        part: String::new(),
        ink: Ink::First,
        dash: Dash::Solid,
        points,
    }
}

fn a_chart(lines: Vec<ChartLine>) -> Chart {
    Chart {
        title: NASTY.into(),
        ordinate: NASTY.into(),
        unit: "deg".into(),
        abscissa: NASTY.into(),
        ends: Some([NASTY.into(), NASTY.into()]),
        reversed: false,
        least_span: 0.1,
        lines,
    }
}

#[test]
fn charts_stand_any_text_and_any_number() {
    let points = vec![
        (0.0, Some(1.0)),
        (1.0, None),
        (2.0, Some(f64::NAN)),
        (3.0, Some(f64::INFINITY)),
        (4.0, Some(-1e9)),
    ];
    check(&chart(&a_chart(vec![line(NASTY, points)])));
    check(&chart(&a_chart(vec![line(NASTY, vec![(2.0, Some(5.0))])])));
    check(&chart(&a_chart(vec![line(NASTY, vec![(2.0, None)])])));
    check(&chart(&a_chart(Vec::new())));
}

#[test]
fn an_unreached_pose_interrupts_the_curve() {
    let points = |middle| {
        vec![
            (0.0, Some(0.0)),
            (1.0, Some(2.0)),
            (2.0, middle),
            (3.0, Some(1.0)),
            (4.0, Some(3.0)),
        ]
    };
    let paths = |middle| {
        let text = chart(&a_chart(vec![line("a", points(middle))])).inline();
        let document = parse(&text);
        let mut found = document.descendants();
        found
            .by_ref()
            .filter(|n| n.tag_name().name() == "path")
            .count()
    };
    assert_eq!([paths(Some(1.5)), paths(None)], [1, 2]);
}

fn a_map(values: Vec<Option<f64>>, signed: bool) -> Map {
    let axis = |values: Vec<f64>| MapAxis {
        title: NASTY.into(),
        values,
        ends: [NASTY.into(), NASTY.into()],
        reversed: false,
    };
    Map {
        title: NASTY.into(),
        quantity: NASTY.into(),
        x: axis(vec![-1.0, 0.0, 1.0]),
        y: axis(vec![-1.0, 0.0, 1.0]),
        values,
        signed,
        outlines: vec![vec![[-0.5, -0.5], [0.5, -0.5], [0.0, 0.5]]],
    }
}

#[test]
fn maps_show_what_is_reached_and_what_is_not() {
    check(&map(&a_map(vec![None; 9], true)));
    check(&map(&a_map(vec![Some(0.0); 9], false)));
    let slope: Vec<_> = (0..9).map(|k| Some(3.0 * f64::from(k) - 12.0)).collect();
    let some = map(&a_map(slope, true));
    check(&some);
    for level in ["−8", "−4", "4", "8"] {
        assert!(
            some.inline().contains(&format!(">{level}</text>")),
            "level {level} is written"
        );
    }
    assert!(some.description.contains("0 of 9 poses are not reached"));
}

fn a_front(goals: usize, reference: Vec<Option<f64>>) -> Front {
    Front {
        goals: (0..goals)
            .map(|k| FrontGoal {
                name: NASTY.into(),
                unit: "mm".into(),
                maximise: k == 1,
            })
            .collect(),
        points: (0..5)
            .map(|n| FrontPoint {
                number: n,
                values: (0..goals)
                    .map(|k| (n > 0).then_some(n as f64 * k as f64))
                    .collect(),
                chosen: (n == 2).then_some(Ink::First),
            })
            .collect(),
        reference,
    }
}

#[test]
fn a_front_gives_one_picture_for_each_pair_of_goals() {
    for (goals, pictures) in [(0, 0), (1, 0), (2, 1), (3, 3), (6, 15)] {
        let found = front(&a_front(goals, vec![Some(1e6); goals]));
        assert_eq!(found.len(), pictures);
        found.iter().for_each(check);
    }
    let far = &front(&a_front(2, vec![Some(1e6), Some(2.0)]))[0];
    assert!(far.inline().contains("off the sheet"));
    let near = &front(&a_front(2, vec![Some(0.0), Some(2.0)]))[0];
    assert!(near.inline().contains(">submitted</text>"));
    front(&a_front(2, vec![None; 2])).iter().for_each(check);
}

#[test]
fn bars_name_values_and_limits() {
    let row = |before, after, limits: &[f64]| BarRow {
        label: NASTY.into(),
        unit: "deg".into(),
        before,
        after,
        limits: limits.to_vec(),
    };
    let rows = [
        row(Some(2.0), Some(-1.0), &[0.5, 3.0]),
        row(None, None, &[]),
        row(Some(0.0), Some(0.0), &[0.0]),
    ];
    let picture = bars("before and after", NASTY, &rows);
    check(&picture);
    assert!(picture.description.contains("limit 0.50° and 3.00°"));
    check(&bars("none", "", &[]));
}

fn linkage() -> Linkage {
    Linkage::new(&design::machine(&EXAMPLE.job.vehicle)).unwrap()
}

fn text(numbered: bool) -> ViewText<'static> {
    ViewText {
        title: NASTY,
        subtitle: NASTY,
        numbered,
    }
}

#[test]
fn views_stand_every_aspect_and_pose() {
    let linkage = linkage();
    let target = Target {
        lean: 0.2,
        steer: -0.2,
        mean_travel: None,
    };
    let turned = linkage.pose(&target).unwrap();
    for aspect in [
        Aspect::Behind,
        Aspect::Above,
        Aspect::LeftCorner,
        Aspect::LeftSide,
    ] {
        for pose in [linkage.design_pose(), &turned] {
            let posed = Posed {
                label: NASTY,
                ink: Ink::Second,
                linkage: &linkage,
                pose,
                body: None,
                cable: None,
                centre_of_gravity: Some(kinematics::V3::new(-560.0, 0.0, 780.0)),
            };
            check(&view(aspect, &[posed, posed], &text(true)));
            check(&view(aspect, &[], &text(true)));
        }
    }
}

/// Upright wheels without camber are straight strokes in the front view: their distance, by the
/// bar of 100 mm, is the track of the vehicle file; and the left wheel stands on the left.
#[test]
fn the_front_view_is_to_scale() {
    let linkage = linkage();
    let posed = Posed {
        label: "",
        ink: Ink::First,
        linkage: &linkage,
        pose: linkage.design_pose(),
        body: None,
        cable: None,
        centre_of_gravity: None,
    };
    let svg = view(Aspect::Behind, &[posed], &text(false)).inline();
    let document = parse(&svg);
    let starts: Vec<f64> = document
        .descendants()
        .filter(|n| n.attribute("stroke-opacity").is_some())
        .map(|n| numbers(n.attribute("d").unwrap())[0])
        .collect();
    let bar = document
        .descendants()
        .filter(|n| {
            n.attribute("class") == Some("s-soft") && n.attribute("stroke-opacity").is_none()
        })
        .map(|n| numbers(n.attribute("d").unwrap()))
        .next()
        .unwrap();
    let millimetre = (bar[2] - bar[0]) / 100.0;
    let track = 2.0 * EXAMPLE.job.vehicle.front_wheels.centre_mm[1];
    assert_eq!(starts.len(), 2);
    // The left wheel is drawn first. Coordinates are rounded to 0.05, some 0.12 mm each.
    assert!(
        ((starts[1] - starts[0]) / millimetre - track).abs() < 2.5,
        "{starts:?} {millimetre}"
    );
}

fn numbers(commands: &str) -> Vec<f64> {
    let parts = commands.split(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-'));
    parts.filter_map(|p| p.parse().ok()).collect()
}

/// Contrast as in WCAG 2.1, success criteria 1.4.3 (text, 4.5) and 1.4.11 (graphics, 3).
#[test]
fn colours_keep_the_contrast_that_wcag_asks_for() {
    let luminance = |colour: &str| {
        let part = |k: usize| {
            let v = f64::from(u8::from_str_radix(&colour[k..k + 2], 16).unwrap()) / 255.0;
            if v <= 0.04045 {
                v / 12.92
            } else {
                ((v + 0.055) / 1.055).powf(2.4)
            }
        };
        0.2126 * part(1) + 0.7152 * part(3) + 0.0722 * part(5)
    };
    let contrast = |a: &str, b: &str| {
        let (a, b) = (luminance(a) + 0.05, luminance(b) + 0.05);
        a.max(b) / a.min(b)
    };
    for of in [Ink::light, Ink::dark] {
        let least = |ink: Ink| match ink {
            Ink::Paper | Ink::Grid | Ink::Rule => 1.0,
            Ink::Reference => 3.0,
            _ => 4.5,
        };
        for ink in Ink::ALL {
            let found = contrast(of(ink), of(Ink::Paper));
            assert!(found >= least(ink), "{ink:?} has {found}");
        }
    }
}
