//! What a lock of the lean holds while the machine stands.

use crate::candidate::{Candidate, SIDES, Sample};
use crate::loads::{CornerForces, corner_forces, downhill, parked};
use crate::{Masses, ride};
use kinematics::{Coupling, Linkage, Pose, Rocker};

/// Largest moment of the lock, N·m, on the level and in four directions on the parking slope;
/// `None` at a singularity and, without a rocker, at the very end of the lean.
pub(crate) fn moment(candidate: &Candidate, sample: &Sample, masses: &Masses) -> Option<f64> {
    let slope = candidate.inner.parts.slope_deg.to_radians();
    let across = masses.total_kg * crate::reach::GRAVITY * libm::cos(slope);
    let level = (masses.total_kg * crate::reach::GRAVITY, [0.0; 2]);
    let slopes = downhill(slope).map(|body| (across, body));
    let rates = match candidate.linkage.machine().coupling {
        Coupling::Rocker(_) => None,
        Coupling::MeanTravel => Some(wishbone_rates(candidate, sample)?),
    };
    let mut most = 0.0_f64;
    for (weight, body) in core::iter::once(level).chain(slopes) {
        let wheels = parked(&sample.pose, masses, weight, body);
        let members = corner_forces(candidate.linkage, &sample.pose, &wheels)?;
        let held = match (&candidate.linkage.machine().coupling, rates) {
            (Coupling::Rocker(rocker), _) => {
                at_rocker(candidate.linkage, rocker, &sample.pose, &members)?
            }
            (_, Some(rates)) => (0..2).map(|i| members[i].coupling_moment * rates[i]).sum(),
            (_, None) => return None,
        };
        most = most.max(1e-3 * f64::abs(held));
    }
    Some(most)
}

/// Moment about the rocker's pivot against that of both links, N·mm.
fn at_rocker(
    linkage: &Linkage,
    rocker: &Rocker,
    pose: &Pose<f64>,
    members: &[CornerForces; 2],
) -> Option<f64> {
    let links = linkage.rocker_links(pose)?;
    let axis = rocker.axis.direction.unit();
    let pulled = links.iter().zip(members).map(|([foot, end], corner)| {
        let pull = (*foot - *end).unit().scale(corner.link);
        (*end - rocker.axis.point).cross(pull).dot(axis)
    });
    Some(-pulled.sum::<f64>())
}

/// Turn of the lower wishbones about their hinges per radian of lean, left first.
fn wishbone_rates(candidate: &Candidate, sample: &Sample) -> Option<[f64; 2]> {
    let before = ride::leaned(candidate, sample, -ride::HALF_STEP)?;
    let after = ride::leaned(candidate, sample, ride::HALF_STEP)?;
    let turned = |[c, s]: [f64; 2], [d, t]: [f64; 2]| libm::atan2(t * c - d * s, d * c + t * s);
    Some(SIDES.map(|side| {
        let [from, to] = [&before, &after].map(|pose| pose.corner(side).lower_turn);
        turned(from, to) / (2.0 * ride::HALF_STEP)
    }))
}
