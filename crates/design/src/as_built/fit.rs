//! The fit, its uncertainty, and the smallest change.

use super::doubts::{inseparable, most_by_chance, told, unseen};
use super::file::vehicle;
use super::least_squares::{self, Found};
use super::model::{self, Expected, FIELDS, KINDS, deviating, expected, figures, predicted};
use super::remedy::remedy;
use super::wire::{AsBuilt, AsBuiltFit, Deviation, FigureRow, Misfit, Reading};
use crate::convert;
use crate::fault::Fault;
use crate::notes::{CAUTIONS, NOTES};
use crate::posed::{PoseError, PoseQuestion};
use kinematics::Machine;

/// Fits a machine that [`crate::parse_as_built`] has let pass. Least squares over all readings and
/// over what is expected of each deviation, within bounds; some thousand poses a step.
///
/// # Errors
/// Poses that the drawing does not reach, and more unknowns than figures read, with the names of
/// those that cannot be told apart.
pub fn fit_as_built(asked: &AsBuilt) -> Result<AsBuiltFit, Vec<Fault>> {
    match fit_as_built_unless(asked, &|| false)? {
        Some(fit) => Ok(fit),
        None => Err(Fit::new(asked, Vec::new(), &|| false).lost()),
    }
}

/// What can be said before the fit itself: poses that the drawing does not reach, and too few
/// figures. Some milliseconds.
///
/// # Errors
/// As [`fit_as_built`].
pub fn check_as_built(asked: &AsBuilt) -> Result<(), Vec<Fault>> {
    reached(asked)?;
    let drawn = convert::machine(&asked.vehicle);
    let fit = Fit::new(asked, asked.readings.clone(), &|| false);
    let parts = expected(&asked.unknowns);
    match fit.read.len() < parts.len() {
        true => Err(fit.too_few(&drawn, &parts)),
        false => Ok(()),
    }
}

/// [`fit_as_built`] that is given up, without an answer, once `halted` says so; it is asked at
/// every step.
///
/// # Errors
/// As [`fit_as_built`].
pub fn fit_as_built_unless(
    asked: &AsBuilt,
    halted: &dyn Fn() -> bool,
) -> Result<Option<AsBuiltFit>, Vec<Fault>> {
    check_as_built(asked)?;
    let drawn = convert::machine(&asked.vehicle);
    let fit = Fit::new(asked, asked.readings.clone(), halted);
    let mut parts = expected(&asked.unknowns);
    let unmeasured = parts.len();
    parts.extend(model::measured(&asked.vehicle, &asked.measured));
    let target: Vec<f64> = fit.read.iter().map(|(_, value)| *value).collect();
    let found = fit.solve(&drawn, &parts, &target);
    if halted() {
        return Ok(None);
    }
    let found = found.ok_or_else(|| fit.lost())?;
    let built = deviating(&drawn, &parts, &found.at);
    // An empty sum of floats is minus zero.
    let chi_square = found.residuals.iter().fold(0.0, |sum, r| sum + r * r);
    let freedom = target.len() as f64 - told(&found);
    let remedy = match asked.changes.is_empty() {
        true => None,
        false => remedy(asked, &drawn, &built, halted)?,
    };
    if halted() {
        return Ok(None);
    }
    let (remedy, mended) = remedy.unzip();
    Ok(Some(AsBuiltFit {
        readings: target.len() as u32,
        figures: fit.rows([Some(&drawn), Some(&built), mended.as_ref()]),
        deviations: deviations(&parts, unmeasured, &found),
        misfit: fit.misfit(&drawn, &built, &target),
        chi_square,
        explained: chi_square <= most_by_chance(freedom),
        unseen: unseen(&parts[..unmeasured], &found.covariance),
        inseparable: inseparable(&parts, &found.covariance),
        vehicle: vehicle(&asked.vehicle, &built)?,
        remedy,
        notes: NOTES.map(String::from).to_vec(),
        cautions: CAUTIONS.map(String::from).to_vec(),
    }))
}

/// Figures of readings, to be met by deviations of a machine.
pub(super) struct Fit<'a> {
    asked: &'a AsBuilt,
    halted: &'a dyn Fn() -> bool,
    /// The poses, and which figures count in each.
    pub(super) readings: Vec<Reading>,
    /// Kind and value of every figure that was read.
    read: Vec<(usize, f64)>,
}

fn read(reading: &Reading) -> impl Iterator<Item = (usize, f64)> + use<> {
    let all = figures(reading).into_iter();
    all.filter_map(|(kind, value)| value.map(|value| (kind, value)))
}

/// Every pose is reached by the machine as drawn.
fn reached(asked: &AsBuilt) -> Result<(), Vec<Fault>> {
    let mut faults = Vec::new();
    for (i, reading) in asked.readings.iter().enumerate() {
        let question = PoseQuestion {
            lean_deg: reading.lean_deg,
            steer_deg: reading.steer_deg,
            steer_mm: None,
            mean_travel_mm: reading.mean_travel_mm,
        };
        match crate::pose::pose(&asked.vehicle, &question) {
            Ok(_) => {}
            Err(PoseError::Input(found)) => faults.extend(found.into_iter().map(|mut fault| {
                fault.pointer = format!("/readings/{i}{}", fault.pointer);
                fault
            })),
            Err(PoseError::Unreachable(why)) => faults.push(Fault {
                pointer: format!("/readings/{i}"),
                message: format!("the machine as drawn does not reach this pose: {why}"),
                value: String::new(),
                allowed: "a pose that can be reached".into(),
            }),
        }
    }
    if faults.is_empty() {
        Ok(())
    } else {
        Err(faults)
    }
}

impl<'a> Fit<'a> {
    pub(super) fn new(
        asked: &'a AsBuilt,
        readings: Vec<Reading>,
        halted: &'a dyn Fn() -> bool,
    ) -> Fit<'a> {
        Fit {
            asked,
            halted,
            read: readings.iter().flat_map(read).collect(),
            readings,
        }
    }

    /// Every figure of the drawn, fitted and mended machine.
    fn rows(&self, [drawn, fitted, mended]: [Option<&Machine>; 3]) -> Vec<FigureRow> {
        let of = |machine: Option<&Machine>| machine.and_then(|m| predicted(m, &self.readings));
        let (Some(drawn), Some(fitted), mended) = (of(drawn), of(fitted), of(mended)) else {
            return Vec::new();
        };
        let all = self.readings.iter().enumerate().flat_map(|(i, reading)| {
            let figures = figures(reading).into_iter().zip(FIELDS);
            figures.filter_map(move |((_, read), field)| Some((i, field, read?)))
        });
        let row = |(k, (reading, figure, read)): (usize, (usize, &str, f64))| FigureRow {
            reading: reading as u32,
            figure: figure.to_owned(),
            read,
            drawn: drawn[k],
            fitted: fitted[k],
            mended: mended.as_ref().map(|values| values[k]),
        };
        all.enumerate().map(row).collect()
    }

    fn residuals(&self, machine: &Machine, target: &[f64]) -> Option<Vec<f64>> {
        let values = predicted(machine, &self.readings)?;
        let each = values.iter().zip(target).zip(&self.read);
        let one = |((value, target), (kind, _)): ((&f64, &f64), &(usize, f64))| {
            (value - target) / model::sigma(&self.asked.exactness, *kind)
        };
        Some(each.map(one).collect())
    }

    pub(super) fn solve(
        &self,
        start: &Machine,
        parts: &[Expected],
        target: &[f64],
    ) -> Option<Found> {
        let bounds: Vec<f64> = parts.iter().map(|e| e.most / e.sigma).collect();
        let residuals = |at: &[f64]| self.residuals(&deviating(start, parts, at), target);
        least_squares::solve(residuals, &bounds, self.halted)
    }

    pub(super) fn misfit(&self, before: &Machine, after: &Machine, target: &[f64]) -> Vec<Misfit> {
        let squares = |machine: &Machine, kind: usize| {
            let values = predicted(machine, &self.readings).unwrap_or_default();
            let each = values.iter().zip(target).zip(&self.read);
            let own = each.filter(|(_, read)| read.0 == kind);
            own.map(|((value, target), _)| (value - target) * (value - target))
                .sum::<f64>()
        };
        let count = |kind: usize| self.read.iter().filter(|read| read.0 == kind).count();
        (0..KINDS.len())
            .filter(|kind| count(*kind) > 0)
            .map(|kind| Misfit {
                kind: KINDS[kind].to_owned(),
                count: count(kind) as u32,
                drawn: libm::sqrt(squares(before, kind) / count(kind) as f64),
                fitted: libm::sqrt(squares(after, kind) / count(kind) as f64),
            })
            .collect()
    }

    pub(super) fn lost(&self) -> Vec<Fault> {
        vec![Fault {
            pointer: "/unknowns".into(),
            message:
                "next to the drawing the machine does not assemble in every pose that was read"
                    .into(),
            value: String::new(),
            allowed: "poses away from the stops".into(),
        }]
    }

    fn too_few(&self, drawn: &Machine, parts: &[Expected]) -> Vec<Fault> {
        let target: Vec<f64> = self.read.iter().map(|(_, value)| *value).collect();
        let residuals = |at: &[f64]| self.residuals(&deviating(drawn, parts, at), &target);
        let zero = vec![0.0; parts.len()];
        let covariance = residuals(&zero)
            .and_then(|now| least_squares::slopes(&residuals, &zero, &now))
            .and_then(|s| least_squares::inverse(&least_squares::normal(&s, parts.len())));
        let covariance = covariance.unwrap_or_default();
        let mut told = Vec::new();
        let unseen = unseen(parts, &covariance);
        if !unseen.is_empty() {
            told.push(format!("these readings do not see {}", unseen.join(", ")));
        }
        let pairs = inseparable(parts, &covariance);
        if !pairs.is_empty() {
            let pairs: Vec<String> = pairs
                .iter()
                .map(|p| format!("{} from {}", p.one, p.other))
                .collect();
            told.push(format!("they do not tell {}", pairs.join(", ")));
        }
        vec![Fault {
            pointer: "/unknowns".into(),
            message: format!(
                "{} figures were read for {} unknowns; {}",
                self.read.len(),
                parts.len(),
                told.join("; ")
            ),
            value: parts.len().to_string(),
            allowed: format!("at most {} unknowns, each side counted", self.read.len()),
        }]
    }
}

/// The deviations, the surest first; the last parts were measured.
fn deviations(parts: &[Expected], unmeasured: usize, found: &Found) -> Vec<Deviation> {
    let measured = unmeasured..parts.len();
    let mut all: Vec<(f64, Deviation)> = parts
        .iter()
        .enumerate()
        .map(|(i, expected)| {
            let sigma = libm::sqrt(found.covariance[i][i]);
            let deviation = Deviation {
                of: expected.part.of(),
                axis: expected.part.axis(),
                side: expected.part.side(),
                deviation_mm: expected.offset + expected.sigma * found.at[i],
                sigma_mm: expected.sigma * sigma,
                before_mm: expected.sigma,
                measured_mm: measured.contains(&i).then_some(expected.offset),
                at_bound: (found.at[i] * expected.sigma).abs() >= expected.most,
            };
            (deviation.deviation_mm.abs() / deviation.sigma_mm, deviation)
        })
        .collect();
    all.sort_by(|a, b| b.0.total_cmp(&a.0));
    all.into_iter().map(|(_, deviation)| deviation).collect()
}
