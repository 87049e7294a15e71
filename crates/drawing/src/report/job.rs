//! The report of a whole job.

use super::asked::asked;
use super::choice::choice;
use super::closing::{care, closing};
use super::draft::drawn;
use super::html::{Html, Page, Table};
use super::portrait::Portrait;
use super::{compared, curves, maps, pictures, points, values};
use crate::bars::bars;
use crate::figure::{capital, symbol, with_unit, words};
use crate::ink::Ink;
use crate::scatter::front;
use design::{Candidate, Finding, Job, Role};

/// A finished job.
#[derive(Clone, Copy, Debug)]
pub struct JobReport<'a> {
    /// What was asked.
    pub job: &'a Job,
    /// The front, in its order; numbers count from 0.
    pub candidates: &'a [&'a Candidate],
    /// The submitted vehicle of each layout by the same measures, in the job's order; one at least.
    pub submitted: &'a [Candidate],
    /// What was noticed before the search.
    pub findings: &'a [Finding],
    /// Numbers of the candidates at knees of the front.
    pub knees: &'a [usize],
    /// Facts for the head of the report: name and value (id, build, evaluations, time).
    pub facts: &'a [(String, String)],
}

impl<'a> JobReport<'a> {
    /// The first layout's submitted vehicle.
    pub(super) fn first(&self) -> &'a Candidate {
        &self.submitted[0]
    }

    /// What a candidate's layout was submitted as.
    pub(super) fn submitted_of(&self, candidate: &Candidate) -> &'a Candidate {
        let own = self.submitted.get(candidate.layout_place());
        own.unwrap_or(self.first())
    }
}

/// The report of a job as one HTML file. Assesses the submitted vehicle and up to four
/// candidates, which takes some tens of milliseconds.
pub fn job_report(report: &JobReport) -> String {
    let title = match report.job.name.trim() {
        "" => "Job without a name",
        name => name,
    };
    let chosen = choice(report.candidates);
    let inks: Vec<(usize, Ink)> = chosen
        .iter()
        .enumerate()
        .map(|(k, n)| (*n, Ink::subject(k)))
        .collect();
    let of = |candidate: &Candidate| {
        let vehicle = &candidate.vehicle;
        Portrait::new("submitted", Ink::Reference, vehicle, &report.job.reach)
    };
    let before = of(report.first());
    let now: Vec<Portrait> = inks
        .iter()
        .filter_map(|(number, ink)| {
            let vehicle = &report.candidates[*number].vehicle;
            Portrait::new(&label(*number), *ink, vehicle, &report.job.reach).ok()
        })
        .collect();
    let mut page = Page::new(title, lead(report));
    page.section("What was asked", asked(report.job, report.findings));
    page.section("The front", front_section(report, &inks));
    page.section(
        "Some of them side by side",
        side_by_side(report, &inks, before.as_ref().ok(), &now),
    );
    if let (Some(first), Some((number, _))) = (now.first(), inks.first()) {
        let candidate = report.candidates[*number];
        let heading = match &candidate.layout {
            Some(layout) => format!("Candidate {number} against {} as submitted", layout.name),
            None => format!("Candidate {number} against the submitted vehicle"),
        };
        let own = of(report.submitted_of(candidate));
        page.section(&heading, against(report, candidate, own.as_ref(), first));
    }
    page.section("Hardpoints", hardpoints(report, &inks));
    let notes = before.as_ref().ok().or(now.first()).map(|p| &p.assessment);
    page.section("Limits of the model, and cautions", closing(notes));
    page.finish()
}

pub(super) fn label(number: usize) -> String {
    format!("candidate {number}")
}

fn lead(report: &JobReport) -> Html {
    let mut out = Html::default();
    out.paragraph(&format!(
        "Vehicle: {}",
        vehicle_name(&report.job.vehicle.name)
    ));
    let feasible = report.candidates.iter().filter(|c| c.feasible).count();
    out.paragraph(&match (report.candidates.len(), feasible) {
        (0, _) => "The search found no candidate.".to_owned(),
        (_, 0) => "No candidate meets every requirement; the nearest miss is shown.".to_owned(),
        (1, _) => "One candidate meets every requirement.".to_owned(),
        (_, n) => format!("{n} candidates meet every requirement and none of them beats another."),
    });
    out.push(facts(report.facts));
    out.push(care());
    out
}

pub(super) fn vehicle_name(name: &str) -> &str {
    match name.trim() {
        "" => "without a name",
        name => name,
    }
}

/// Facts in one line.
pub(super) fn facts(facts: &[(String, String)]) -> Html {
    let texts: Vec<String> = facts
        .iter()
        .map(|(name, value)| format!("{name}: {value}"))
        .collect();
    match texts.is_empty() {
        true => Html::default(),
        false => Html::within("p", "small", Html::text(&texts.join(" · "))),
    }
}

fn front_section(report: &JobReport, inks: &[(usize, Ink)]) -> Html {
    let mut out = Html::default();
    if report.candidates.is_empty() {
        return out;
    }
    let front_of = pictures::front(report.candidates, report.first(), inks);
    if front_of.goals.len() > 1 {
        out.paragraph(
            "Each point is a candidate. Coloured ones are shown in full below; the diamond is the \
             submitted vehicle.",
        );
    }
    out.pictures(&front(&front_of));
    out.push(front_table(report, inks));
    out
}

fn front_table(report: &JobReport, inks: &[(usize, Ink)]) -> Html {
    let goals = &report.first().goals;
    let layouts = report.submitted.len() > 1;
    let mut table = Table::new("Goals of every candidate; the tightest margin is that of the requirement nearest to its limit")
        .words("Candidate");
    if layouts {
        table = table.words("Layout");
    }
    for goal in goals {
        let want = if goal.role == Role::Maximise {
            "large"
        } else {
            "small"
        };
        let unit = match symbol(&goal.unit) {
            "" => String::new(),
            unit => format!(", {unit}"),
        };
        table = table.number(&format!(
            "{}{unit} ({want})",
            capital(&words(&goal.quantity))
        ));
    }
    table = table.words("Tightest margin");
    for submitted in report.submitted {
        table.marked_row(front_row(Html::text("submitted"), submitted), "submitted");
    }
    for (number, candidate) in report.candidates.iter().enumerate() {
        let ink = inks.iter().find(|(n, _)| *n == number).map(|c| c.1);
        let mut name = Html::default();
        if let Some(ink) = ink {
            name.push(dot(ink));
        }
        name.push(Html::text(&number.to_string()));
        if report.knees.contains(&number) {
            name.push(Html::text(" knee"));
        }
        let class = if ink.is_some() { "chosen" } else { "" };
        table.marked_row(front_row(name, candidate), class);
    }
    table.finish()
}

/// A dot in the colour of a candidate.
pub(super) fn dot(ink: Ink) -> Html {
    let class = match ink {
        Ink::First => "dot first",
        Ink::Second => "dot second",
        Ink::Third => "dot third",
        Ink::Fourth => "dot fourth",
        Ink::Fifth => "dot fifth",
        Ink::Sixth => "dot sixth",
        _ => "dot reference",
    };
    Html::within("i", class, Html::text("● "))
}

fn front_row(name: Html, candidate: &Candidate) -> Vec<Html> {
    let mut cells = vec![name];
    cells.extend(candidate.layout.iter().map(|l| Html::text(&l.name)));
    cells.extend(
        candidate
            .goals
            .iter()
            .map(|g| values::shown(g.value, &g.unit)),
    );
    let (text, broken) = tightest(candidate);
    cells.push(match broken {
        true => Html::within("span", "broken", Html::text(&text)),
        false => Html::text(&text),
    });
    cells
}

/// The requirement with the least margin against its limit, and whether it is broken.
fn tightest(candidate: &Candidate) -> (String, bool) {
    if let Some(why) = &candidate.failure {
        return (why.clone(), true);
    }
    let share = |e: &&design::QuantityValue| {
        let limit = e
            .limit
            .as_ref()
            .and_then(|l| l.at_most.or(l.at_least))
            .unwrap_or(1.0);
        e.margin.unwrap_or(f64::INFINITY) / limit.abs().max(1e-9)
    };
    let entries = candidate.requirements.iter();
    let Some(entry) = entries.min_by(|a, b| share(a).total_cmp(&share(b))) else {
        return (String::new(), false);
    };
    let margin = entry.margin;
    let margin = margin.map_or("–".to_owned(), |m| with_unit(m, &entry.unit));
    let broken = !candidate.feasible && (share(&entry) < 0.0 || entry.shortfall > 0.0);
    (format!("{}: {margin}", words(&entry.quantity)), broken)
}

fn side_by_side(
    report: &JobReport,
    inks: &[(usize, Ink)],
    before: Option<&Portrait>,
    now: &[Portrait],
) -> Html {
    let mut out = Html::default();
    if inks.is_empty() {
        return out;
    }
    out.paragraph(
        "The first is nowhere far from the best of any goal; the others are the best of one goal \
         each.",
    );
    let mut columns = vec![("submitted".to_owned(), Ink::Reference, report.first())];
    columns.extend(
        inks.iter()
            .map(|(n, ink)| (label(*n), *ink, report.candidates[*n])),
    );
    out.push(compared::quantities(&columns));
    let portraits: Vec<&Portrait> = before.into_iter().chain(now).collect();
    out.pictures(&drawn(curves::main_curves(&portraits)));
    out.subheading("Linkages over one another");
    let ordered: Vec<&Portrait> = before.into_iter().chain(now.iter().rev()).collect();
    out.pictures(&drawn(pictures::outlines(&ordered)));
    out
}

fn against(
    report: &JobReport,
    candidate: &Candidate,
    before: Result<&Portrait, &String>,
    now: &Portrait,
) -> Html {
    let mut out = Html::default();
    let rows = values::bar_rows(candidate, report.submitted_of(candidate));
    out.pictures(&[bars("Before and after", &now.label, &rows)]);
    if let Err(why) = before {
        out.paragraph(&format!(
            "The submitted vehicle itself cannot be shown: {why}."
        ));
    }
    let both: Vec<&Portrait> = before.ok().into_iter().chain([now]).collect();
    out.subheading("Views");
    out.pictures(&drawn(pictures::upright(&both)));
    out.pictures(&drawn(pictures::moved(now)));
    out.subheading("Steering over lean and steer");
    out.paragraph(super::MAP_TEXT);
    out.pictures(&drawn(maps::maps(&both)));
    out.subheading("What stops steering and lean");
    out.push(points::stops(&both));
    out
}

fn hardpoints(report: &JobReport, inks: &[(usize, Ink)]) -> Html {
    let mut out = Html::default();
    for (number, _) in inks {
        let candidate = report.candidates[*number];
        let heading = match &candidate.layout {
            Some(layout) => format!("{}, {}", label(*number), layout.name),
            None => label(*number),
        };
        out.subheading(&capital(&heading));
        out.push(points::moved(candidate));
        out.push(points::rods(candidate, report.submitted_of(candidate)));
        out.push(points::holds(candidate));
    }
    out
}
