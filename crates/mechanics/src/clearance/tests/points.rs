//! Points all over the parts.

use crate::shapes::Solid;
use kinematics::V3;

/// Points all over a solid some mm apart. Of capsules and tori those of the middle line, with
/// the radius to take off.
pub(super) fn points(solid: &Solid) -> (Vec<V3<f64>>, f64) {
    let shares = |n: usize| (0..=n).map(move |k| k as f64 / n as f64);
    match solid {
        Solid::Capsule(s, r) => (shares(200).map(|t| s.at(t)).collect(), *r),
        Solid::Torus(ring, r) => (
            shares(900)
                .map(|t| around(ring.centre, ring.axis, ring.radius, t))
                .collect(),
            *r,
        ),
        Solid::Drum(d) => {
            let mut all = Vec::new();
            for (turn, k) in shares(80).flat_map(|t| shares(8).map(move |k| (t, k))) {
                let at = |radius: f64, along: f64| {
                    around(d.centre + d.axis.scale(along), d.axis, radius, turn)
                };
                all.push(at(d.radius, d.half * (2.0 * k - 1.0)));
                all.push(at(d.radius * k, d.half));
                all.push(at(d.radius * k, -d.half));
            }
            (all, 0.0)
        }
        Solid::Block(b) => {
            let mut all = Vec::new();
            for i in 0..3 {
                for (j, k) in shares(30).flat_map(|j| shares(30).map(move |k| (j, k))) {
                    for sign in [-1.0, 1.0] {
                        let mut at = [0.0; 3];
                        let places = [sign, 2.0 * j - 1.0, 2.0 * k - 1.0];
                        (0..3).for_each(|m| at[(i + m) % 3] = places[m]);
                        let along = |m: usize| b.axes[m].scale(at[m] * b.half[m]);
                        all.push(b.centre + along(0) + along(1) + along(2));
                    }
                }
            }
            (all, 0.0)
        }
    }
}

fn around(centre: V3<f64>, axis: V3<f64>, radius: f64, share: f64) -> V3<f64> {
    let e = V3::new(0.3, -0.5, 0.8).across(axis).unit();
    let angle = share * 2.0 * core::f64::consts::PI;
    centre
        + e.rotated(axis, libm::cos(angle), libm::sin(angle))
            .scale(radius)
}
