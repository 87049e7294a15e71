//! The pictures of the reports one by one, each with its name; only those asked for are drawn.

use super::candidate::CandidateReport;
use super::choice::choice;
use super::draft::{Draft, NoPicture, Wanted, drawn, pick};
use super::job::{JobReport, label};
use super::portrait::Portrait;
use super::{curves, maps, pictures, values};
use crate::bars::{BarRow, bars};
use crate::ink::Ink;
use crate::picture::Picture;
use crate::scatter::front;
use design::{Assessment, Reach, Vehicle};

/// The front of a job, one picture for each pair of goals (`front_0_1`, …).
pub fn job_pictures(report: &JobReport) -> Vec<Picture> {
    let chosen = choice(report.candidates).into_iter().enumerate();
    let inks: Vec<(usize, Ink)> = chosen.map(|(k, n)| (n, Ink::subject(k))).collect();
    front(&pictures::front(report.candidates, report.first(), &inks))
}

/// A vehicle that was assessed already.
#[derive(Clone, Debug)]
pub struct Subject<'a> {
    /// Name for keys.
    pub label: &'a str,
    /// The vehicle.
    pub vehicle: &'a Vehicle,
    /// What was computed of it.
    pub assessment: Assessment,
}

/// Machines whose pictures may be drawn.
#[derive(Clone, Debug)]
pub struct Gallery {
    portraits: Vec<Portrait>,
    bars: Option<(String, Vec<BarRow>)>,
    /// The machines stand beside one another: none is what the others are measured against.
    side_by_side: bool,
}

impl Gallery {
    /// A candidate over the submitted vehicle. Its pictures are `before_and_after`, views
    /// (`front_view`, `top_view`, `corner_view`, `side_view`, `leaned_front_view`,
    /// `steered_top_view`, `turn_front_view`, `turn_top_view`), maps of the candidate (`error_map`,
    /// `slip_map`), and curves by the names of the assessment, a second diagram of one curve with
    /// `_2` behind it.
    ///
    /// # Errors
    /// One sentence on why the candidate's machine cannot be shown.
    pub fn of_candidate(report: &CandidateReport) -> Result<Gallery, String> {
        let reach = &report.job.reach;
        let name = label(report.number);
        let now = Portrait::new(&name, Ink::First, &report.candidate.vehicle, reach)?;
        let before = &report.submitted.vehicle;
        let before = Portrait::new("submitted", Ink::Reference, before, reach);
        let rows = values::bar_rows(report.candidate, report.submitted);
        Ok(Gallery {
            portraits: before.into_iter().chain([now]).collect(),
            bars: Some((name, rows)),
            side_by_side: false,
        })
    }

    /// One vehicle, over another where it was changed from it. Pictures as of a candidate, without
    /// `before_and_after`.
    ///
    /// # Errors
    /// One sentence on why a machine cannot be shown.
    pub fn of_vehicle(now: Subject, before: Option<Subject>) -> Result<Gallery, String> {
        let before = before.map(|before| Portrait::of(before, Ink::Reference));
        let now = Portrait::of(now, Ink::First);
        let portraits: Result<Vec<Portrait>, String> = before.into_iter().chain([now]).collect();
        Ok(Gallery {
            portraits: portraits?,
            bars: None,
            side_by_side: false,
        })
    }

    /// Vehicles side by side, each with its name: upright views and curves of all over one another.
    /// More than six share colours.
    ///
    /// # Errors
    /// One sentence naming the first machine that cannot be shown.
    pub fn side_by_side(vehicles: &[(String, &Vehicle)], reach: &Reach) -> Result<Gallery, String> {
        Ok(Gallery {
            portraits: portraits(vehicles, reach)?,
            bars: None,
            side_by_side: true,
        })
    }

    /// One vehicle in every state of loading in which it can stand: upright views and curves of
    /// all over one another, each by the name of its state.
    ///
    /// # Errors
    /// One sentence on why the machine cannot be shown.
    pub fn over_loadings(vehicle: &Vehicle, reach: &Reach) -> Result<Gallery, String> {
        Ok(Gallery {
            portraits: Portrait::in_each_loading(vehicle, reach)?,
            bars: None,
            side_by_side: true,
        })
    }

    /// Names of all pictures.
    pub fn names(&self) -> Vec<String> {
        let all: Vec<&Portrait> = self.portraits.iter().collect();
        let drafts = self.drafts(&all);
        drafts.into_iter().map(|draft| draft.name).collect()
    }

    /// All pictures.
    pub fn all(&self) -> Vec<Picture> {
        let all: Vec<&Portrait> = self.portraits.iter().collect();
        drawn(self.drafts(&all))
    }

    /// The pictures wanted, and no others drawn.
    ///
    /// # Errors
    /// The first name that no picture has.
    pub fn pick(&self, wanted: Wanted) -> Result<Vec<Picture>, NoPicture> {
        let all: Vec<&Portrait> = self.portraits.iter().collect();
        pick(&self.drafts(&all), wanted)
    }

    fn drafts<'a>(&'a self, portraits: &'a [&'a Portrait]) -> Vec<Draft<'a>> {
        if self.side_by_side {
            let mut drafts = pictures::outlines(portraits);
            drafts.extend(curves::curves(portraits));
            return drafts;
        }
        let mut drafts: Vec<Draft> = Vec::new();
        if let Some((name, rows)) = &self.bars {
            let draw = || Some(bars("Before and after", name, rows));
            drafts.push(Draft::new("before_and_after", draw));
        }
        drafts.extend(pictures::upright(portraits));
        if let Some(last) = portraits.last() {
            drafts.extend(pictures::moved(last));
            drafts.extend(maps::maps(&portraits[portraits.len() - 1..]));
        }
        drafts.extend(curves::curves(portraits));
        drafts
    }
}

/// Portraits of vehicles side by side, each in a colour of its own; more than six share.
pub(super) fn portraits(
    vehicles: &[(String, &Vehicle)],
    reach: &Reach,
) -> Result<Vec<Portrait>, String> {
    let one = |(k, (name, vehicle)): (usize, &(String, &Vehicle))| {
        let made = Portrait::new(name, Ink::subject(k), vehicle, reach);
        made.map_err(|why| format!("{name}: {why}"))
    };
    vehicles.iter().enumerate().map(one).collect()
}
