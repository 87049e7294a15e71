//! The reports of one candidate, of one vehicle, and of candidates side by side.

use super::asked::{asked, poses_text};
use super::closing::{care, closing};
use super::draft::drawn;
use super::gallery::portraits;
use super::html::{Html, Page, Table};
use super::job::{facts, label, vehicle_name};
use super::portrait::Portrait;
use super::{compared, curves, maps, pictures, points, slopes, strength, study, values};
use crate::bars::bars;
use crate::figure::{capital, symbol, words};
use crate::ink::Ink;
use design::{Candidate, Job, QuantityValue, Reach, Sensitivities, Vehicle};

/// A candidate of a finished job.
#[derive(Clone, Copy, Debug)]
pub struct CandidateReport<'a> {
    /// What was asked.
    pub job: &'a Job,
    /// Its number on the front.
    pub number: usize,
    /// The candidate.
    pub candidate: &'a Candidate,
    /// The submitted vehicle by the same measures.
    pub submitted: &'a Candidate,
    /// What each freedom does to each quantity, if it was computed.
    pub sensitivities: Option<&'a Sensitivities>,
    /// Facts for the head of the report: name and value.
    pub facts: &'a [(String, String)],
}

/// The report of one candidate as one HTML file.
///
/// # Errors
/// One sentence on why the candidate's machine cannot be shown.
pub fn candidate_report(report: &CandidateReport) -> Result<String, String> {
    let reach = &report.job.reach;
    let now = Portrait::new(
        &label(report.number),
        Ink::First,
        &report.candidate.vehicle,
        reach,
    )?;
    let before = Portrait::new(
        "submitted",
        Ink::Reference,
        &report.submitted.vehicle,
        reach,
    );
    let both: Vec<&Portrait> = before.as_ref().ok().into_iter().chain([&now]).collect();
    let name = match report.job.name.trim() {
        "" => "job without a name",
        name => name,
    };
    let title = format!("Candidate {} of {name}", report.number);
    let mut lead = Html::default();
    lead.paragraph(&format!(
        "Vehicle: {}",
        vehicle_name(&report.job.vehicle.name)
    ));
    lead.paragraph(match report.candidate.feasible {
        true => "It meets every requirement.",
        false => "It does not meet every requirement.",
    });
    lead.push(facts(report.facts));
    lead.push(care());
    let mut page = Page::new(&title, lead);
    page.section("Before and after", result(report, &before));
    page.section(
        "Hardpoints, rods and set-up",
        bench(report, before.as_ref().ok(), &now),
    );
    if let Some(found) = report.sensitivities {
        page.section("What each freedom changes", slopes::slopes(found));
    }
    if let Some(found) = &report.candidate.study {
        page.section("As a workshop builds it", study::study(found));
    }
    page.section("Views of the linkage", views(&both, &now));
    page.section("What stops steering and lean", points::stops(&both));
    let mut diagrams = Html::default();
    diagrams.pictures(&drawn(curves::curves(&both)));
    page.section("Curves", diagrams);
    page.section(
        "States of loading over one another",
        loadings(&report.candidate.vehicle, reach)?,
    );
    page.section("Steering over lean and steer", map_section(&both));
    if let Some(sheet) = &now.assessment.strength {
        page.section("Loads, stub axle, standing", strength::strength(sheet));
    }
    page.section("Every quantity", every(&both));
    page.section("What was asked", asked(report.job, &[]));
    page.section(
        "Limits of the model, and cautions",
        closing(Some(&now.assessment)),
    );
    Ok(page.finish())
}

fn result(report: &CandidateReport, before: &Result<Portrait, String>) -> Html {
    let mut out = Html::default();
    if let Err(why) = before {
        out.paragraph(&format!(
            "The submitted vehicle itself cannot be shown: {why}."
        ));
    }
    let rows = values::bar_rows(report.candidate, report.submitted);
    out.pictures(&[bars("Before and after", &label(report.number), &rows)]);
    out.push(values::result(report.candidate, report.submitted));
    out
}

fn bench(report: &CandidateReport, before: Option<&Portrait>, now: &Portrait) -> Html {
    let mut out = Html::default();
    out.push(points::moved(report.candidate));
    out.push(points::sizes(report.candidate));
    out.push(points::joints(report.candidate));
    out.push(points::rods(report.candidate, report.submitted));
    out.push(points::holds(report.candidate));
    out.push(points::set_up(before, now));
    out
}

fn views(both: &[&Portrait], now: &Portrait) -> Html {
    let mut out = Html::default();
    out.pictures(&drawn(pictures::upright(both)));
    out.subheading("In motion");
    out.pictures(&drawn(pictures::moved(now)));
    out
}

/// The main curves in every state of loading; nothing where there is but one.
fn loadings(vehicle: &Vehicle, reach: &Reach) -> Result<Html, String> {
    let mut out = Html::default();
    if vehicle.loadings.is_empty() {
        return Ok(out);
    }
    let states = Portrait::in_each_loading(vehicle, reach)?;
    let shown: Vec<&Portrait> = states.iter().collect();
    out.paragraph(
        "Each state at its own mean travel and with its own masses; the curves above are those as \
         drawn, and the figures below the worst over all states.",
    );
    out.pictures(&drawn(curves::main_curves(&shown)));
    out.push(points::stops(&shown));
    Ok(out)
}

fn map_section(portraits: &[&Portrait]) -> Html {
    let mut out = Html::default();
    out.paragraph(super::MAP_TEXT);
    out.pictures(&drawn(maps::maps(portraits)));
    out
}

/// Every quantity of the table, over its usual poses.
fn every(portraits: &[&Portrait]) -> Html {
    let mut table = Table::new(
        "Every quantity over its usual poses; limits marked as common practice have no published \
         source",
    )
    .words("Quantity");
    for portrait in portraits {
        table = table.number(&portrait.label);
    }
    table = table
        .words("Unit")
        .words("Taken where")
        .words("Usual limit from");
    let last = portraits.last().map(|p| p.assessment.quantities.as_slice());
    for entry in last.unwrap_or_default() {
        let mut cells = vec![Html::text(&capital(&words(&entry.quantity)))];
        for portrait in portraits {
            let same = |e: &&QuantityValue| e.quantity == entry.quantity;
            let own = portrait.assessment.quantities.iter().find(same);
            cells.push(values::shown(own.and_then(|e| e.value), &entry.unit));
        }
        cells.push(Html::text(symbol(&entry.unit)));
        let poses = poses_text(entry.over.as_ref());
        let worst = entry.worst.as_ref().map(values::place).unwrap_or_default();
        let place: Vec<String> = [poses, worst]
            .into_iter()
            .filter(|t| !t.is_empty())
            .collect();
        cells.push(Html::text(&place.join(": ")));
        let origin = entry.limit.as_ref().map(|l| l.origin.as_str());
        cells.push(Html::text(origin.unwrap_or_default()));
        table.row(cells);
    }
    table.finish()
}

/// The report of one vehicle by itself: what the assessment says, with pictures.
///
/// # Errors
/// One sentence on why the machine cannot be shown.
pub fn vehicle_report(vehicle: &Vehicle, reach: &Reach) -> Result<String, String> {
    let now = Portrait::new(vehicle_name(&vehicle.name), Ink::First, vehicle, reach)?;
    let both = [&now];
    let mut page = Page::new(vehicle_name(&vehicle.name), care());
    page.section("Set-up", points::set_up(None, &now));
    page.section("Views of the linkage", views(&both, &now));
    page.section("What stops steering and lean", points::stops(&both));
    let mut diagrams = Html::default();
    diagrams.pictures(&drawn(curves::curves(&both)));
    page.section("Curves", diagrams);
    page.section(
        "States of loading over one another",
        loadings(vehicle, reach)?,
    );
    page.section("Steering over lean and steer", map_section(&both));
    if let Some(sheet) = &now.assessment.strength {
        page.section("Loads, stub axle, standing", strength::strength(sheet));
    }
    page.section("Every quantity", every(&both));
    page.section(
        "Limits of the model, and cautions",
        closing(Some(&now.assessment)),
    );
    Ok(page.finish())
}

/// Maps of so many candidates stand in a comparison, so that the file stays small.
const MOST_MAPPED: usize = 4;

/// Candidates side by side as one HTML file: table, overlaid curves and linkages. Each comes with
/// the name that it is to carry. More than six share colours; maps stand for the first four.
///
/// # Errors
/// One sentence naming the first machine that cannot be shown.
pub fn comparison_report(
    title: &str,
    candidates: &[(String, &Candidate)],
    reach: &Reach,
) -> Result<String, String> {
    let columns: Vec<compared::Column> = candidates
        .iter()
        .enumerate()
        .map(|(k, (name, candidate))| (name.clone(), Ink::subject(k), *candidate))
        .collect();
    let vehicles: Vec<(String, &Vehicle)> = candidates
        .iter()
        .map(|(name, candidate)| (name.clone(), &candidate.vehicle))
        .collect();
    let portraits = portraits(&vehicles, reach)?;
    let shown: Vec<&Portrait> = portraits.iter().collect();
    let mut page = Page::new(title, care());
    page.section("Quantities", compared::quantities(&columns));
    let mut diagrams = Html::default();
    diagrams.pictures(&drawn(curves::curves(&shown)));
    page.section("Curves over one another", diagrams);
    let mut linkages = Html::default();
    linkages.pictures(&drawn(pictures::outlines(&shown)));
    page.section("Linkages over one another", linkages);
    page.section("Hardpoints", compared::hardpoints(&columns));
    page.section("What stops steering and lean", points::stops(&shown));
    let mapped = &shown[..shown.len().min(MOST_MAPPED)];
    page.section("Steering over lean and steer", map_section(mapped));
    page.section("Limits of the model, and cautions", closing(None));
    Ok(page.finish())
}
