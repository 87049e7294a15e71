//! Figures of progress, on scales that don't move.

use crate::bytes::{Reader, SnapshotFault, Writer};
use crate::elite::Elite;
use crate::evaluation::LARGEST;
use crate::hypervolume::volume;
use crate::standing::{Frame, Goals, extent, padded};
use crate::subset::{REFERENCE, best};

/// The scales are frozen at the first batch border at or behind this many evaluations at which
/// the front has at least [`FREEZE_POINTS`] points.
const FREEZE_EVALUATIONS: u64 = 1_000;
const FREEZE_POINTS: usize = 5;

/// How far a search has come.
#[derive(Clone, Debug, PartialEq)]
pub struct Progress {
    /// Candidates evaluated.
    pub evaluations: u64,
    /// Of these, how many met every requirement.
    pub feasible: u64,
    /// Points on the archive of non-dominated candidates.
    pub front: usize,
    /// The least value of each goal among feasible candidates; `None` while there is none.
    pub best: Option<Vec<f64>>,
    /// The archive's hypervolume on the frozen scales, reference 1.1 per goal; `None` for one goal
    /// and while the scales are not frozen yet.
    pub hypervolume: Option<f64>,
    /// True when the hypervolume is that of a subset: at most 100 points with four goals, 50 with
    /// five or six. It is exact with two and three.
    pub hypervolume_is_estimate: bool,
}

/// What 0 and 1 mean for each goal in a hypervolume that can be compared over time.
#[derive(Clone, Debug, PartialEq)]
pub struct Scales {
    /// The value of each goal that counts as 0.
    pub ideal: Vec<f64>,
    /// The value of each goal that counts as 1, above `ideal`.
    pub nadir: Vec<f64>,
}

impl Scales {
    /// The extent of a front; a goal that has one value only gets a range of that value's
    /// magnitude, or 1 around zero.
    pub(crate) fn of(values: &[Goals], goals: usize) -> Self {
        let (ideal, nadir) = extent(values.iter());
        let wide = |low: f64, high: f64| {
            let range = high - low;
            if (1.0 / range).is_finite() && range > 0.0 {
                high
            } else {
                low + low.abs().max(1.0)
            }
        };
        Self {
            ideal: ideal[..goals].to_vec(),
            nadir: (0..goals).map(|i| wide(ideal[i], nadir[i])).collect(),
        }
    }

    /// Scales at the moment at which they freeze.
    pub(crate) fn freeze(elite: &Elite, goals: usize, evaluations: u64) -> Option<Self> {
        let ripe = evaluations >= FREEZE_EVALUATIONS && elite.values().len() >= FREEZE_POINTS;
        (goals > 1 && ripe).then(|| Self::of(elite.values(), goals))
    }

    /// The hypervolume on these scales, reference 1.1 per goal, and whether it is an estimate.
    pub(crate) fn measure(&self, values: &[Goals]) -> (f64, bool) {
        let goals = self.ideal.len();
        let frame = Frame::new(&padded(&self.ideal), &padded(&self.nadir));
        let most = match goals {
            1..=3 => usize::MAX,
            4 => 100,
            _ => 50,
        };
        let estimate = values.len() > most;
        let normal = |v: &Goals| frame.map(v);
        let points: Vec<Goals> = if estimate {
            best(values, goals, most)
                .iter()
                .map(|i| normal(&values[*i]))
                .collect()
        } else {
            values.iter().map(normal).collect()
        };
        (volume(&points, goals, &REFERENCE), estimate)
    }

    pub(crate) fn write(scales: Option<&Self>, out: &mut Writer) {
        out.u8(u8::from(scales.is_some()));
        if let Some(scales) = scales {
            out.floats(&scales.ideal);
            out.floats(&scales.nadir);
        }
    }

    pub(crate) fn read(from: &mut Reader, goals: usize) -> Result<Option<Self>, SnapshotFault> {
        if !from.flag("scales flag")? {
            return Ok(None);
        }
        let ideal = from.floats(goals, "scales", -LARGEST, LARGEST)?;
        let nadir = from.floats(goals, "scales", -LARGEST, 2.0 * LARGEST)?;
        from.require(ideal.iter().zip(&nadir).all(|(i, n)| i < n), "scales")?;
        Ok(Some(Self { ideal, nadir }))
    }
}

/// The least value of each goal.
pub(crate) fn least(elite: &Elite, goals: usize) -> Option<Vec<f64>> {
    if elite.values().is_empty() {
        return None;
    }
    let (ideal, _) = extent(elite.values().iter());
    Some(ideal[..goals].to_vec())
}
