//! Circle ∩ sphere, the closed form under every loop of the machine.
//!
//! The circle of radius `r` lies about the axis through `O` along the unit vector `k`; the
//! sphere of radius `ρ` lies about `S = O + w`. A point `O + r·e` (e ⟂ k, |e| = 1) lies on
//! both where `e·w = C = (|w|² + r² − ρ²) / 2r`, the loop equation A cos ψ + B sin ψ = C of
//! McCarthy & Soh, *Geometric Design of Linkages*, 2nd ed., appendix A, with A² + B² = |w⊥|².

use crate::{Lane, V3};

/// One solution of circle ∩ sphere.
#[derive(Clone, Copy)]
pub(crate) struct Meet<L> {
    /// Unit direction from the axis to the point.
    pub direction: V3<L>,
    /// 1 − C²/N: 1 at its best, 0 where both solutions meet, below 0 where there is none
    /// (the direction is then that of the nearest point of the circle).
    pub margin: L,
}

/// Shape of a loop: circle radius, squared sphere radius, and which of the two solutions.
#[derive(Clone, Copy, Debug)]
pub(crate) struct LoopShape {
    pub circle_radius: f64,
    pub sphere_radius2: f64,
    /// +1 or −1: sign of `e · (k × w⊥)`.
    pub branch: f64,
}

impl LoopShape {
    /// The shape of a loop from its design pose; `None` where it stands at dead centre.
    pub fn of_design(k: V3<f64>, e: V3<f64>, w: V3<f64>, circle_radius: f64) -> Option<LoopShape> {
        let point = e.scale(circle_radius);
        let across = e.dot(k.cross(w));
        let size = w.across(k).norm();
        // Closer to dead centre than this, the design pose does not say which branch is meant.
        if across.is_nan() || across.abs() <= 1e-6 * size || size == 0.0 {
            return None;
        }
        Some(LoopShape {
            circle_radius,
            sphere_radius2: (point - w).norm2(),
            branch: if across > 0.0 { 1.0 } else { -1.0 },
        })
    }

    /// The chosen point for the sphere centre at `w` from the circle's centre.
    #[inline(always)]
    pub fn meet<L: Lane>(&self, k: V3<L>, w: V3<L>) -> Meet<L> {
        let r = self.circle_radius;
        let flat = w.across(k);
        let n = flat.norm2();
        let c = (w.norm2() + L::splat(r * r - self.sphere_radius2)) * L::splat(0.5 / r);
        let inverse = L::splat(1.0) / n;
        let square = n - c * c;
        let reaches = L::splat(0.0).less(square);
        let d = L::select(reaches, square, L::splat(0.0)).sqrt();
        // Beyond reach the nearest point lies straight along ±w⊥.
        let nearest = L::select(c.less(L::splat(0.0)), -n.sqrt(), n.sqrt());
        let along = L::select(reaches, c, nearest) * inverse;
        let aside = d * L::splat(self.branch) * inverse;
        Meet {
            direction: flat.scale(along) + k.cross(flat).scale(aside),
            margin: square * inverse,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// RSSR four-bar: crank of 1 about z at the origin, follower of 2 about a line parallel
    /// to y through (1.5, 2, 0.5), coupler 3; ψ from +x towards +z. Values derived from the
    /// loop equation of McCarthy & Soh, appendix A, and confirmed with a general library.
    #[test]
    fn spatial_four_bar_has_the_published_assemblies() {
        let pivot = V3::new(1.5, 2.0, 0.5);
        let k = V3::new(0.0, -1.0, 0.0); // +x turns towards +z about −y
        let angle = |branch: f64, crank: V3<f64>| {
            let shape = LoopShape {
                circle_radius: 2.0,
                sphere_radius2: 9.0,
                branch,
            };
            let found = shape.meet(k, crank - pivot);
            (
                libm::atan2(found.direction.z, found.direction.x).to_degrees(),
                found.margin,
            )
        };
        let at_90 = V3::new(0.0, 1.0, 0.0);
        let mut both = [angle(1.0, at_90).0, angle(-1.0, at_90).0];
        both.sort_by(f64::total_cmp);
        assert!((both[0] + 57.845431102).abs() < 1e-8, "{both:?}");
        assert!((both[1] - 94.715328748).abs() < 1e-8, "{both:?}");
        let at_270 = V3::new(0.0, -1.0, 0.0);
        assert!(angle(1.0, at_270).1 < 0.0, "270° cannot assemble");
    }

    #[test]
    fn beyond_reach_the_point_is_the_nearest_and_the_margin_negative() {
        let k = V3::new(0.0, 0.0, 1.0);
        let shape = LoopShape {
            circle_radius: 1.0,
            sphere_radius2: 1.0,
            branch: 1.0,
        };
        let found = shape.meet(k, V3::new(3.0, 0.0, 0.0));
        assert!(found.margin < 0.0);
        assert!((found.direction.x - 1.0).abs() < 1e-15);
    }
}
