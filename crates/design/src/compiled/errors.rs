//! The errors of machines as built: which there are, how they are drawn, what they make.

use crate::job::Axis;
use crate::paths::{self, Path, Place};
use crate::tolerance::{Distribution, Method, SigmaOf, Tolerance};
use kinematics::{DesignFault, Linkage, Machine, Side};
use mechanics::{Tilts, normal_deviation, random_share, with_longer_rods, with_toe};

/// One number that may err.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Spot {
    /// A coordinate of a hardpoint, mm.
    Coordinate(Place, bool, Axis),
    /// A rod's length after setting the toe, mm.
    Rod(Side),
    /// A stud or bolt of a side across one of two axes, degrees.
    Stud(Side, usize, usize),
}

const SIDES: [Side; 2] = [Side::Left, Side::Right];
const AXES: [Axis; 3] = [Axis::X, Axis::Y, Axis::Z];
const STUDS: [&str; 4] = ["lower stud", "upper stud", "inner bolt", "outer bolt"];

/// The errors of all samples: drawn once, so that the same ones meet every candidate.
#[derive(Clone, Debug)]
pub(super) struct Errors {
    spots: Vec<(Spot, f64)>,
    /// In standard deviations, sample by sample.
    draws: Vec<f64>,
    samples: usize,
}

/// A machine as built.
pub(super) struct Built {
    /// Its linkage, rods set.
    pub linkage: Linkage,
    /// What its studs and bolts err by.
    pub tilts: Tilts,
}

impl Errors {
    /// Draws the errors. Order of the numbers: points as in the table of paths, left before right,
    /// x, y, z; then rods; then studs. Errors without a deviation take no number.
    pub(super) fn new(tolerance: &Tolerance, base: &Machine) -> Errors {
        let spots = spots(tolerance, base);
        let samples = tolerance.samples as usize;
        let one = |sample: usize, k: usize| match tolerance.distribution {
            Distribution::Normal => normal_deviation(share(tolerance, sample, k)),
            Distribution::Uniform => libm::sqrt(12.0) * (share(tolerance, sample, k) - 0.5),
        };
        let draws = (0..samples)
            .flat_map(|sample| (0..spots.len()).map(move |k| (sample, k)))
            .map(|(sample, k)| one(sample, k))
            .collect();
        Errors {
            spots,
            draws,
            samples,
        }
    }

    /// Machines for each candidate.
    pub(super) fn samples(&self) -> usize {
        self.samples
    }

    /// What may err.
    pub(super) fn spots(&self) -> impl ExactSizeIterator<Item = Spot> + '_ {
        self.spots.iter().map(|(spot, _)| *spot)
    }

    /// One sample of a machine, all its errors grown by a factor.
    pub(super) fn built(
        &self,
        machine: &Machine,
        toe: [f64; 2],
        sample: usize,
        factor: f64,
    ) -> Result<Built, DesignFault> {
        let own = &self.draws[sample * self.spots.len()..][..self.spots.len()];
        self.with(machine, toe, |k| factor * own[k])
    }

    /// The machine with one error alone, in standard deviations.
    pub(super) fn with_one(
        &self,
        machine: &Machine,
        toe: [f64; 2],
        spot: usize,
        by: f64,
    ) -> Result<Built, DesignFault> {
        self.with(machine, toe, |k| if k == spot { by } else { 0.0 })
    }

    fn with(
        &self,
        machine: &Machine,
        toe: [f64; 2],
        deviation: impl Fn(usize) -> f64,
    ) -> Result<Built, DesignFault> {
        let mut built = *machine;
        let mut longer = [0.0; 2];
        let mut tilts = Tilts::default();
        for (k, (spot, sigma)) in self.spots.iter().enumerate() {
            let by = sigma * deviation(k);
            match *spot {
                Spot::Coordinate(place, right, axis) => {
                    if let Some(point) = paths::in_machine(&mut built, place, right) {
                        *axis.of(point) += by;
                    }
                }
                Spot::Rod(side) => longer[side as usize] = by,
                Spot::Stud(side, which, across) => {
                    tilts.of[side as usize][which][across] = by.to_radians();
                }
            }
        }
        let mut linkage = with_toe(&built, toe)?;
        if longer != [0.0; 2] {
            linkage = Linkage::new(&with_longer_rods(linkage.machine(), longer))?;
        }
        Ok(Built { linkage, tilts })
    }
}

impl Spot {
    /// What errs, in words or as a path of the vehicle file.
    pub(super) fn name(self) -> String {
        match self {
            Spot::Coordinate(place, right, _) => Path { place, right }.text(),
            Spot::Rod(side) => format!("{side} rod length"),
            Spot::Stud(side, which, _) => format!("{side} {}", STUDS[which]),
        }
    }

    /// The coordinate of a point.
    pub(super) fn axis(self) -> Option<Axis> {
        match self {
            Spot::Coordinate(_, _, axis) => Some(axis),
            _ => None,
        }
    }
}

/// The share of all errors that lie below this one.
fn share(tolerance: &Tolerance, sample: usize, k: usize) -> f64 {
    match tolerance.method {
        Method::Random => random_share(tolerance.seed, sample as u64, k as u64),
        Method::LowDiscrepancy => {
            let seed = (tolerance.seed ^ (tolerance.seed >> 32)) as u32;
            let even = sobol_burley::sample(sample as u32, k as u32, seed);
            // Single precision: the middle of its step, so that the ends stay out.
            f64::from(even) + 0.5 / f64::from(1u32 << 24)
        }
    }
}

fn spots(tolerance: &Tolerance, base: &Machine) -> Vec<(Spot, f64)> {
    let mut spots = Vec::new();
    for place in paths::places() {
        for right in [false, true] {
            let exists = paths::in_machine(&mut base.clone(), place, right).is_some();
            if !exists || right && !place.sided() {
                continue;
            }
            let sigma = sigma(tolerance, place, right);
            spots.extend(AXES.map(|axis| (Spot::Coordinate(place, right, axis), sigma)));
        }
    }
    spots.extend(SIDES.map(|side| (Spot::Rod(side), tolerance.rod_mm)));
    for side in SIDES {
        for which in 0..STUDS.len() {
            let across = [0, 1].map(|a| (Spot::Stud(side, which, a), tolerance.stud_deg));
            spots.extend(across);
        }
    }
    spots.retain(|(_, sigma)| *sigma > 0.0);
    spots
}

/// Of each coordinate of a point, mm.
fn sigma(tolerance: &Tolerance, place: Place, right: bool) -> f64 {
    let given = |right: bool| {
        let text = Path { place, right }.text();
        tolerance.points.iter().find(|p| p.point == text)
    };
    let own = given(right).or_else(|| given(false));
    let sigma = own.map_or(tolerance.sigma_mm, |p| p.sigma_mm);
    match tolerance.per {
        SigmaOf::Coordinate => sigma,
        SigmaOf::Point => sigma / libm::sqrt(3.0),
    }
}
