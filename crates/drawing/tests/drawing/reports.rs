//! Whole reports.

use crate::common::{EXAMPLE, assert_harmless, parse};
use design::{Candidate, Compiled, Job, Vehicle, assessment, fit_as_built, parse_as_built};
use leanwright_drawing::{
    AsBuiltReport, CandidateReport, Gallery, JobReport, Subject, Wanted, as_built_report,
    candidate_report, comparison_report, job_report, report_policy, vehicle_report,
};

/// The bound of a report, bytes.
const LARGEST: usize = 500_000;
const NASTY: &str = "<img src=x onerror=alert(1)>\" style=\"x\u{0}\u{202e}";

fn facts() -> Vec<(String, String)> {
    vec![("Job".into(), NASTY.into())]
}

fn of_job(job: &Job, candidates: &[&Candidate], submitted: &Candidate) -> String {
    job_report(&JobReport {
        job,
        candidates,
        submitted: std::slice::from_ref(submitted),
        findings: &[],
        knees: &[1],
        facts: &facts(),
    })
}

fn of_candidate(job: &Job, candidate: &Candidate, submitted: &Candidate) -> String {
    let found = Compiled::new(job).unwrap().sensitivities(&candidate.vector);
    let report = CandidateReport {
        job,
        number: 3,
        candidate,
        submitted,
        sensitivities: Some(&found),
        facts: &facts(),
    };
    candidate_report(&report).unwrap()
}

/// One self-contained page: well-formed, harmless, small, its contents complete, and with no
/// style but the one sheet that its policies name.
fn check(html: &str, sections: &[&str]) {
    assert!(html.len() < LARGEST, "{} bytes", html.len());
    let document = parse(html);
    assert_harmless(&document);
    let all = |name: &'static str| {
        document
            .descendants()
            .filter(move |n| n.tag_name().name() == name)
    };
    let heads: Vec<&str> = all("h2").filter_map(|n| n.text()).collect();
    for section in sections {
        assert!(heads.contains(section), "{section} in {heads:?}");
    }
    assert_eq!(all("style").count(), 1);
    assert_eq!(all("h1").count(), 1);
    for link in all("a") {
        let target = link.attribute("href").unwrap().trim_start_matches('#');
        assert!(all("section").any(|s| s.attribute("id") == Some(target)));
    }
    assert!(all("svg").count() > 8);
    let elsewhere = html.replace("http://www.w3.org/2000/svg", "");
    assert!(!elsewhere.contains("http:") && !elsewhere.contains("https:"));
    assert!(html.contains("Local rules and licensed practice go before them"));
    assert!(html.contains("Rigid bodies without play"));
}

#[test]
fn a_job_report_holds_all_that_was_asked_for() {
    let example = &*EXAMPLE;
    let html = of_job(&example.job, &example.all(), &example.submitted);
    let sections = [
        "What was asked",
        "The front",
        "Some of them side by side",
        "Hardpoints",
        "Limits of the model, and cautions",
    ];
    check(&html, &sections);
    for text in ["Scrub radius", "What stops steering and lean", "Noticed"] {
        assert_eq!(html.contains(text), text != "Noticed", "{text}");
    }
}

#[test]
fn a_front_of_a_hundred_candidates_stays_small() {
    let example = &*EXAMPLE;
    let all: Vec<&Candidate> = example.all().into_iter().cycle().take(100).collect();
    let html = of_job(&example.job, &all, &example.submitted);
    assert!(html.len() < LARGEST, "{} bytes", html.len());
}

#[test]
fn a_comparison_of_a_dozen_stays_small() {
    let example = &*EXAMPLE;
    let all = example.all().into_iter().cycle().take(12);
    let named: Vec<_> = all
        .enumerate()
        .map(|(k, c)| (format!("candidate {k}"), c))
        .collect();
    let html = comparison_report("A dozen", &named, &example.job.reach).unwrap();
    check(&html, &["Quantities"]);
}

#[test]
fn a_candidate_report_shows_before_and_after() {
    let example = &*EXAMPLE;
    let html = of_candidate(&example.job, &example.candidates[3], &example.submitted);
    let sections = [
        "Before and after",
        "Hardpoints, rods and set-up",
        "What each freedom changes",
        "Views of the linkage",
        "What stops steering and lean",
        "Curves",
        "Steering over lean and steer",
        "Every quantity",
        "What was asked",
    ];
    check(&html, &sections);
    let after = |text: &str| html.split_once(text).unwrap().1;
    assert!(after("What each freedom changes").contains("Kingpin inclination, a goal"));
    assert!(html.contains("upper wishbone: ball joint z"));
}

#[test]
fn a_studied_candidate_shows_what_a_workshop_makes_of_it() {
    let example = &*EXAMPLE;
    let mut candidate = example.candidates[3].clone();
    let study = Compiled::new(&example.job)
        .unwrap()
        .study(&candidate.vector);
    let first = study.quantities[0].clone();
    candidate.study = Some(Box::new(study));
    let html = of_candidate(&example.job, &candidate, &example.submitted);
    check(&html, &["As a workshop builds it"]);
    let section = html.split_once("As a workshop builds it").unwrap().1;
    let after = section
        .split_once("machines built, and what matters most")
        .unwrap()
        .1;
    let cause = first.causes[0].of.split('.').next_back().unwrap();
    let words = cause.trim_end_matches("_mm").replace('_', " ");
    assert!(after.contains(&words), "{words}");
    assert!(
        section.contains("95 % keep the limit up to errors of")
            || section.contains("no error keeps")
    );
}

#[test]
fn a_machine_as_built_has_a_report_of_its_own() {
    let text = include_str!("../../../../demo-jobs/as-built/orchard-hauler.json");
    let mut asked = parse_as_built(text).unwrap();
    asked.name = NASTY.to_owned();
    let fit = fit_as_built(&asked).unwrap();
    let html = as_built_report(&AsBuiltReport {
        asked: &asked,
        fit: &fit,
        facts: &facts(),
    })
    .unwrap();
    let sections = [
        "Which deviations explain it",
        "What cannot be told apart",
        "The smallest change",
        "Readings before and after",
        "Curves",
        "What was asked",
        "Limits of the model, and cautions",
    ];
    check(&html, &sections);
    for words in [
        "Steering: rod inner z, right",
        "Rod length, left",
        "Toe-in of the right wheel, °",
        "leaned 10° left",
        "as designed",
        "as built",
        "as corrected",
        "explain the 55 figures",
    ] {
        assert!(html.contains(words), "{words}");
    }
    // The change that the fit proposes stands in its row, a true minus before it.
    let remedy = fit.remedy.as_ref().unwrap();
    let bracket = |c: &&design::Change| c.of == "right.steering.rod_inner_mm";
    let by = remedy.changes.iter().find(bracket).unwrap().by_mm;
    let section = html.split_once("The smallest change</h2>").unwrap().1;
    assert!(by < -3.0 && section.contains(&format!("−{:.2}", -by)));
    // Points measured, nothing read, no change asked for: the sections say so.
    asked.readings.clear();
    asked.unknowns.clear();
    asked.changes.clear();
    asked.measured = vec![design::Measured {
        point: "right.steering.rod_inner_mm".into(),
        at_mm: [-80.0, -30.0, 226.0],
        sigma_mm: 0.3,
    }];
    let fit = fit_as_built(&asked).unwrap();
    let html = as_built_report(&AsBuiltReport {
        asked: &asked,
        fit: &fit,
        facts: &[],
    })
    .unwrap();
    check(&html, &["The smallest change", "Curves"]);
    assert!(html.contains("measured +4.00 mm") && html.contains("No change was asked for"));
}

#[test]
fn a_vehicle_and_a_comparison_have_reports_too() {
    let example = &*EXAMPLE;
    let html = vehicle_report(&example.job.vehicle, &example.job.reach).unwrap();
    check(&html, &["Set-up", "Curves"]);
    let pairs: Vec<(String, &Candidate)> = [0, 2, 4, 5]
        .map(|k| (format!("{NASTY} {k}"), &example.candidates[k]))
        .into();
    let html = comparison_report(NASTY, &pairs, &example.job.reach).unwrap();
    check(
        &html,
        &["Quantities", "Linkages over one another", "Hardpoints"],
    );
}

#[test]
fn names_from_callers_stay_text() {
    let example = &*EXAMPLE;
    let mut job = example.job.clone();
    job.name = NASTY.into();
    job.vehicle.name = NASTY.into();
    let mut submitted = example.submitted.clone();
    submitted.failure = Some(NASTY.into());
    let html = of_job(&job, &example.all(), &submitted);
    check(&html, &[]);
    assert!(html.contains("&lt;img src=x onerror=alert(1)&gt;"));
    check(&of_candidate(&job, &example.candidates[2], &submitted), &[]);
}

#[test]
fn a_job_without_candidates_or_without_a_submitted_pose_still_reports() {
    let example = &*EXAMPLE;
    let html = of_job(&example.job, &[], &example.submitted);
    parse(&html);
    assert!(html.contains("The search found no candidate."));
    let mut broken = example.submitted.clone();
    // An upper ball joint a metre up leaves no pose from which to assess.
    broken.vehicle.upper_wishbone.ball_joint_mm = broken.vehicle.lower_wishbone.ball_joint_mm;
    let html = of_job(&example.job, &example.all(), &broken);
    parse(&html);
    assert!(html.contains("The submitted vehicle itself cannot be shown"));
    let mut candidate = example.candidates[0].clone();
    candidate.vehicle = broken.vehicle;
    let report = CandidateReport {
        job: &example.job,
        number: 0,
        candidate: &candidate,
        submitted: &example.submitted,
        sensitivities: None,
        facts: &[],
    };
    assert!(candidate_report(&report).is_err());
}

#[test]
fn the_policy_to_serve_under_is_the_one_in_the_file() {
    let example = &*EXAMPLE;
    let html = vehicle_report(&example.job.vehicle, &example.job.reach).unwrap();
    let document = parse(&html);
    let own = document
        .descendants()
        .find(|n| n.attribute("http-equiv") == Some("Content-Security-Policy"))
        .and_then(|n| n.attribute("content"))
        .unwrap();
    let served = report_policy().replace("frame-ancestors 'none'; ", "");
    assert_eq!(own, served);
}

#[test]
fn every_picture_has_a_name_of_its_own() {
    let example = &*EXAMPLE;
    let report = CandidateReport {
        job: &example.job,
        number: 3,
        candidate: &example.candidates[3],
        submitted: &example.submitted,
        sensitivities: None,
        facts: &[],
    };
    let pairs: Vec<(String, &Vehicle)> = [1, 4]
        .map(|k| (k.to_string(), &example.candidates[k].vehicle))
        .into();
    let (vehicle, reach) = (&example.job.vehicle, &example.job.reach);
    let subject = |label| Subject {
        label,
        vehicle,
        assessment: assessment(vehicle, reach).unwrap(),
    };
    let of_candidate = Gallery::of_candidate(&report).unwrap();
    let wanted = [
        "before_and_after",
        "front_view",
        "turn_top_view",
        "error_map",
        "slip_map",
        "steer_over_lean",
        "steer_over_lean_2",
    ];
    for name in wanted {
        let [only] = &of_candidate.pick(Wanted::Named(&[name])).unwrap()[..] else {
            panic!("one picture of {name}")
        };
        assert_eq!(only.name, name);
    }
    let others = [
        Gallery::of_vehicle(subject("now"), None).unwrap(),
        Gallery::of_vehicle(subject("now"), Some(subject("before"))).unwrap(),
        Gallery::side_by_side(&pairs, reach).unwrap(),
        of_candidate,
    ];
    for gallery in others {
        let pictures = gallery.all();
        let mut names: Vec<&str> = pictures.iter().map(|p| p.name.as_str()).collect();
        assert_eq!(names, gallery.names());
        let first = gallery.pick(Wanted::First).unwrap();
        assert_eq!(first[..], pictures[..1]);
        let two = [names[3], names[0]];
        let picked = gallery.pick(Wanted::Named(&two)).unwrap();
        assert_eq!(picked, [pictures[3].clone(), pictures[0].clone()]);
        let none = gallery
            .pick(Wanted::Named(&[names[0], "portrait"]))
            .unwrap_err();
        assert_eq!(
            (none.asked.as_str(), none.names),
            ("portrait", gallery.names())
        );
        names.sort_unstable();
        let count = names.len();
        names.dedup();
        assert!(names.len() == count && !names.contains(&""));
        for picture in &pictures {
            assert_harmless(&parse(&picture.document()));
            assert!(picture.document().len() < 60_000, "{}", picture.name);
        }
    }
}

#[test]
fn equal_input_gives_equal_bytes() {
    let example = &*EXAMPLE;
    let one = || of_job(&example.job, &example.all(), &example.submitted);
    assert!(one() == one());
}
