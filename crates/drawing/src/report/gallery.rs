//! The pictures of the reports one by one, each with its name.

use super::candidate::CandidateReport;
use super::choice::choice;
use super::job::{JobReport, label};
use super::portrait::Portrait;
use super::{curves, maps, pictures, values};
use crate::bars::bars;
use crate::ink::Ink;
use crate::picture::Picture;
use crate::scatter::front;
use design::{Candidate, Reach, Vehicle};

/// The front of a job, one picture for each pair of goals (`front_0_1`, …).
pub fn job_pictures(report: &JobReport) -> Vec<Picture> {
    let chosen = choice(report.candidates).into_iter().enumerate();
    let inks: Vec<(usize, Ink)> = chosen.map(|(k, n)| (n, Ink::subject(k))).collect();
    front(&pictures::front(report.candidates, report.submitted, &inks))
}

/// The pictures of a candidate, over those of the submitted vehicle: `before_and_after`, views
/// (`front_view`, `top_view`, `corner_view`, `side_view`, `leaned_front_view`,
/// `steered_top_view`, `turn_front_view`, `turn_top_view`), maps of the candidate (`error_map`,
/// `slip_map`), and curves by the names of the assessment, a second diagram of one curve with
/// `_2` behind it.
///
/// # Errors
/// One sentence on why the candidate's machine cannot be shown.
pub fn candidate_pictures(report: &CandidateReport) -> Result<Vec<Picture>, String> {
    let reach = &report.job.reach;
    let name = label(report.number);
    let now = Portrait::new(&name, Ink::First, &report.candidate.vehicle, reach)?;
    let before = Portrait::new(
        "submitted",
        Ink::Reference,
        &report.submitted.vehicle,
        reach,
    );
    let both: Vec<&Portrait> = before.iter().chain([&now]).collect();
    let rows = values::bar_rows(report.candidate, report.submitted);
    let mut out = vec![bars("Before and after", &name, &rows).named("before_and_after")];
    out.extend(of_portraits(&both));
    Ok(out)
}

/// The pictures of one vehicle, named as those of a candidate.
///
/// # Errors
/// One sentence on why the machine cannot be shown.
pub fn vehicle_pictures(vehicle: &Vehicle, reach: &Reach) -> Result<Vec<Picture>, String> {
    let now = Portrait::new("", Ink::First, vehicle, reach)?;
    Ok(of_portraits(&[&now]))
}

/// Curves and upright views of candidates over one another, named as those of a candidate.
///
/// # Errors
/// One sentence naming the first machine that cannot be shown.
pub fn comparison_pictures(
    candidates: &[(String, &Candidate)],
    reach: &Reach,
) -> Result<Vec<Picture>, String> {
    let portraits = portraits(candidates, reach)?;
    let all: Vec<&Portrait> = portraits.iter().collect();
    let mut out = pictures::outlines(&all);
    out.extend(curves::curves(&all));
    Ok(out)
}

/// Portraits of candidates side by side, each in a colour of its own; more than four share.
pub(super) fn portraits(
    candidates: &[(String, &Candidate)],
    reach: &Reach,
) -> Result<Vec<Portrait>, String> {
    let one = |(k, (name, candidate)): (usize, &(String, &Candidate))| {
        let made = Portrait::new(name, Ink::subject(k), &candidate.vehicle, reach);
        made.map_err(|why| format!("{name}: {why}"))
    };
    candidates.iter().enumerate().map(one).collect()
}

fn of_portraits(portraits: &[&Portrait]) -> Vec<Picture> {
    let mut out = pictures::upright(portraits);
    if let Some(last) = portraits.last() {
        out.extend(pictures::moved(last));
        out.extend(maps::maps(&[last]));
    }
    out.extend(curves::curves(portraits));
    out
}
