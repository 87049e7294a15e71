//! A fixed sample of a job's candidates, looked at before the search.

use super::{Apart, Compiled};
use mechanics::Answer;

/// Vectors spread over all ranges at once.
const SPREAD: usize = 128;

/// One looked-at vector.
pub(super) struct Sample {
    /// One answer per ask, or why there are none.
    pub result: Result<Vec<Answer>, Apart>,
}

/// The sample.
pub(super) struct Samples {
    /// The submitted vehicle, or the nearest to it that the ranges hold.
    pub start: Sample,
    /// Per freedom: it alone at its lowest and at its highest.
    pub ends: Vec<[Sample; 2]>,
    /// Vectors spread over all ranges.
    pub spread: Vec<Sample>,
    /// Most poses that one evaluation needed.
    pub poses: usize,
}

impl Samples {
    /// All samples.
    pub(super) fn all(&self) -> impl Iterator<Item = &Sample> {
        core::iter::once(&self.start)
            .chain(self.ends.iter().flatten())
            .chain(&self.spread)
    }

    /// The answers of those that have some.
    pub(super) fn assembled(&self) -> impl Iterator<Item = &[Answer]> {
        self.all().filter_map(|s| s.result.as_deref().ok())
    }
}

/// Evaluates the sample.
pub(super) fn take(compiled: &Compiled) -> Samples {
    let freedoms = &compiled.job.freedoms;
    let mut scratch = compiled.scratch();
    let mut poses = 0;
    let mut look = |vector: &[f64]| {
        let rounded = compiled.round(vector);
        let result = compiled.answer(&rounded, &mut scratch);
        poses = poses.max(scratch.plan.poses());
        Sample {
            result: result.map(|_| scratch.answers.clone()),
        }
    };
    let start = vec![0.0; freedoms.len()];
    let first = look(&start);
    let ends = (0..freedoms.len())
        .map(|i| {
            freedoms[i].offsets_mm(&compiled.job.vehicle).map(|end| {
                let mut vector = start.clone();
                vector[i] = end;
                look(&vector)
            })
        })
        .collect();
    let alphas = alphas(freedoms.len());
    let spread = (1..=SPREAD)
        .map(|k| {
            let part = |alpha: &f64| (k as f64 * alpha) % 1.0;
            let vector: Vec<f64> = freedoms
                .iter()
                .zip(&alphas)
                .map(|(f, a)| {
                    let [from, to] = f.offsets_mm(&compiled.job.vehicle);
                    from + part(a) * (to - from)
                })
                .collect();
            look(&vector)
        })
        .collect();
    Samples {
        start: first,
        ends,
        spread,
        poses,
    }
}

/// Square roots of the first primes: multiples of them, modulo 1, fill the cube evenly (Weyl 1916).
fn alphas(count: usize) -> Vec<f64> {
    let prime = |n: &u32| {
        (2..*n)
            .take_while(|d| d * d <= *n)
            .all(|d| !n.is_multiple_of(d))
    };
    (2..)
        .filter(prime)
        .take(count)
        .map(|p| libm::sqrt(f64::from(p)))
        .collect()
}
