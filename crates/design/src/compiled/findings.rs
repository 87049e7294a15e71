//! What the sample of candidates shows: faults that end the job, findings that don't.

use super::samples::Samples;
use super::{Apart, Compiled};
use crate::answer::{Finding, FindingKind};
use crate::fault::Fault;
use crate::job::Freedom;
use mechanics::Answer;

/// Values closer than this are the same: holds are solved to 1e-9.
const SAME: f64 = 1e-7;
/// Fewer than this share of the sample assembles: said so.
const SELDOM: f64 = 0.1;

/// Looks at the sample.
pub(super) fn look(compiled: &Compiled, samples: &Samples) -> Result<Vec<Finding>, Vec<Fault>> {
    let faults = [holds(compiled, samples), goals(compiled, samples)].concat();
    if !faults.is_empty() {
        return Err(faults);
    }
    let mut findings = Vec::new();
    submitted(samples, &mut findings);
    seldom(samples, &mut findings);
    requirements(compiled, samples, &mut findings);
    idle(compiled, samples, &mut findings);
    Ok(findings)
}

/// Holds that no sampled candidate could solve.
fn holds(compiled: &Compiled, samples: &Samples) -> Vec<Fault> {
    let unsolved = |s: &super::samples::Sample| matches!(s.result, Err(Apart::Hold(_)));
    if compiled.holds.list().is_empty() || !samples.all().all(unsolved) {
        return Vec::new();
    }
    let alone = compiled.holds.alone(&compiled.base);
    let faults: Vec<Fault> = alone
        .iter()
        .enumerate()
        .filter_map(|(i, miss)| miss.map(|miss| hold_fault(compiled, i, miss)))
        .collect();
    if !faults.is_empty() {
        return faults;
    }
    vec![Fault {
        pointer: "/holds".into(),
        message: "these holds have no joint solution: the coordinates work against each other"
            .into(),
        value: String::new(),
        allowed: "holds that can be met together by their coordinates".into(),
    }]
}

fn hold_fault(compiled: &Compiled, i: usize, miss: f64) -> Fault {
    let hold = &compiled.holds.list()[i];
    let now = hold.reading(&compiled.base);
    let unit = super::asks::unit(hold.quantity);
    let point = hold.by.paths.first().map(|p| p.text()).unwrap_or_default();
    let by = format!("{point} along {}", hold.by.axis.name());
    let message = match miss.is_finite() {
        true => format!(
            "this hold has no solution: {} is {now:.4} {unit} on the submitted vehicle and comes no \
             nearer than {miss:.4} {unit} by moving {by}",
            hold.quantity.name()
        ),
        false => format!("this hold has no solution by moving {by}"),
    };
    Fault {
        pointer: format!("/holds/{i}"),
        message,
        value: hold.value.to_string(),
        allowed: "a value that this coordinate reaches within 1000 mm".into(),
    }
}

/// Goals that are the same in every sampled candidate.
fn goals(compiled: &Compiled, samples: &Samples) -> Vec<Fault> {
    if samples.assembled().count() < 2 {
        return Vec::new();
    }
    let asked = &compiled.asked;
    (0..asked.goals.len())
        .filter_map(|g| {
            let (low, high) = range(samples, |answers| asked.goal(g, answers));
            (high - low <= SAME).then(|| goal_fault(compiled, g, low))
        })
        .collect()
}

fn goal_fault(compiled: &Compiled, g: usize, value: f64) -> Fault {
    let goal = &compiled.asked.goals[g];
    let held = compiled
        .job
        .holds
        .iter()
        .position(|h| h.quantity == goal.quantity);
    let held = held
        .map(|i| format!("; it is held by /holds/{i}"))
        .unwrap_or_default();
    Fault {
        pointer: format!("/goals/{g}"),
        message: format!("no freedom changes {}{held}", goal.quantity),
        value: format!("{} {} in every sampled candidate", value.abs(), goal.unit),
        allowed: "a goal that at least one freedom changes".into(),
    }
}

fn range(samples: &Samples, value: impl Fn(&[Answer]) -> f64) -> (f64, f64) {
    samples.assembled().fold(
        (f64::INFINITY, f64::NEG_INFINITY),
        |(low, high), answers| {
            let x = value(answers);
            (low.min(x), high.max(x))
        },
    )
}

fn submitted(samples: &Samples, findings: &mut Vec<Finding>) {
    if let Err(why) = &samples.start.result {
        findings.push(Finding {
            pointer: "/vehicle".into(),
            kind: FindingKind::SubmittedFails,
            message: format!("the submitted vehicle is no candidate: {why}"),
        });
    }
}

fn seldom(samples: &Samples, findings: &mut Vec<Finding>) {
    let (all, fit) = (samples.all().count(), samples.assembled().count());
    if (fit as f64) < SELDOM * all as f64 {
        let why = samples.all().find_map(|s| s.result.as_ref().err());
        let why = why
            .map(|w| format!(", for instance: {w}"))
            .unwrap_or_default();
        findings.push(Finding {
            pointer: "/freedoms".into(),
            kind: FindingKind::SeldomAssembles,
            message: format!("only {fit} of {all} sampled candidates assemble{why}"),
        });
    }
}

fn requirements(compiled: &Compiled, samples: &Samples, findings: &mut Vec<Finding>) {
    let count = samples.assembled().count();
    for (i, limited) in compiled
        .asked
        .limits
        .iter()
        .enumerate()
        .filter(|_| count > 0)
    {
        let nearest = samples
            .assembled()
            .map(|answers| answers[limited.ask].value)
            .min_by(|a, b| limited.violation(*a).total_cmp(&limited.violation(*b)));
        let Some(value) = nearest.filter(|v| limited.violation(*v) > 0.0) else {
            continue;
        };
        let quantity = compiled.asked.asks[limited.ask].quantity;
        findings.push(Finding {
            pointer: format!("/requirements/{i}"),
            kind: FindingKind::RequirementFails,
            message: format!(
                "all {count} sampled candidates fail the requirement on {}; the nearest has {value:.4} {}",
                quantity.name(),
                super::asks::unit(quantity)
            ),
        });
    }
}

/// Freedoms that change no answer from the submitted vehicle.
fn idle(compiled: &Compiled, samples: &Samples, findings: &mut Vec<Finding>) {
    let Ok(start) = &samples.start.result else {
        return;
    };
    let same = |other: &[Answer]| {
        let close = |(a, b): (&Answer, &Answer)| {
            (a.value - b.value).abs() <= SAME && (a.shortfall - b.shortfall).abs() <= SAME
        };
        start.iter().zip(other).all(close)
    };
    for (i, ends) in samples.ends.iter().enumerate() {
        if ends.iter().all(|s| s.result.as_deref().is_ok_and(same)) {
            let what = match &compiled.job.freedoms[i] {
                Freedom::Point(f) => format!("moving {} along {}", f.point, f.axis.name()),
                Freedom::Choice(f) => format!("choosing {}", f.parameter),
                Freedom::Joint(f) => format!("choosing {}", f.parameter),
                Freedom::Direction(f) => {
                    format!("turning {} about {}", f.direction, f.about.name())
                }
            };
            findings.push(Finding {
                pointer: format!("/freedoms/{i}"),
                kind: FindingKind::FreedomIdle,
                message: format!("{what} changes nothing that is asked for"),
            });
        }
    }
}
