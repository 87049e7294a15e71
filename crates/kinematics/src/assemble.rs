//! From the solved unknowns to the pose that is returned.

use crate::knuckle::{Arm, CornerState};
use crate::solve::System;
use crate::{CornerPose, Drive, Lane, Linkage, Margins, Pose, V3};

impl Linkage {
    #[inline(always)]
    pub(crate) fn finish<L: Lane>(
        &self,
        drive: &Drive<L>,
        unknowns: [L; 3],
        system: &System<L>,
    ) -> Pose<L> {
        let up = system.up;
        let rear_axis = V3::splat(self.rear_axis);
        let ground_x = rear_axis.cross(up).unit();
        let ground_y = up.cross(ground_x);
        let flat = |p: V3<L>| [p.dot(ground_x), p.dot(ground_y)];
        let corner = |i: usize| {
            let s: &CornerState<L> = &system.states[i];
            let contact = self.tyres[i].contact(s.centre, s.axis, up, &system.drops[i]);
            let link = &self.corners[i];
            let turned = |out: V3<L>, arm: &Arm| {
                [out.dot(V3::splat(arm.out)), out.dot(V3::splat(arm.aside))]
            };
            CornerPose {
                lower: s.lower,
                upper: s.upper,
                rod_outer: s.rod_outer,
                rod_inner: system.rod_inner[i],
                centre: s.centre,
                axis: s.axis,
                kingpin: s.kingpin,
                across: s.across,
                lower_turn: turned(s.out, &link.lower),
                upper_turn: turned(s.upper_out, &link.upper),
                contact,
                contact_ground: flat(contact),
                heading: flat(s.axis.cross(up).unit()),
                inclination_sin: system.drops[i].sine,
            }
        };
        let rear_contact = self.rear_tyre.contact(
            V3::splat(self.rear_centre),
            rear_axis,
            up,
            &system.rear_drop,
        );
        let coupled = usize::from(self.rocker.is_some() && drive.rocker);
        let margins = Margins {
            upper: [system.states[0].upper_margin, system.states[1].upper_margin],
            rod: [system.states[0].rod_margin, system.states[1].rod_margin],
            rocker: system.couple.margin,
            fold: system.determinant / L::splat(self.determinants[coupled]),
        };
        let residual = system.residual();
        Pose {
            left: corner(0),
            right: corner(1),
            up,
            ground_x,
            ground_y,
            height: system.height,
            pitch: system.pitch,
            rear_contact,
            rear_contact_ground: flat(rear_contact),
            solved: stands(&margins, Linkage::accepted(residual)),
            margins,
            unknowns,
            residual,
        }
    }
}

/// All loops close, on the design branch, and the iteration converged.
#[inline(always)]
fn stands<L: Lane>(m: &Margins<L>, converged: L::Mask) -> L::Mask {
    let least = m.upper[0]
        .min(m.upper[1])
        .min(m.rod[0])
        .min(m.rod[1])
        .min(m.rocker);
    let closed = L::and(L::splat(0.0).less(least), L::splat(0.0).less(m.fold));
    L::and(closed, converged)
}

/// A placeholder until the design pose is solved; never seen outside [`Linkage::new`].
pub(crate) fn unsolved() -> Pose<f64> {
    let zero = V3::new(0.0, 0.0, 0.0);
    let corner = CornerPose {
        lower: zero,
        upper: zero,
        rod_outer: zero,
        rod_inner: zero,
        centre: zero,
        axis: zero,
        kingpin: zero,
        across: zero,
        lower_turn: [1.0, 0.0],
        upper_turn: [1.0, 0.0],
        contact: zero,
        contact_ground: [0.0; 2],
        heading: [1.0, 0.0],
        inclination_sin: 0.0,
    };
    Pose {
        left: corner,
        right: corner,
        up: zero,
        ground_x: zero,
        ground_y: zero,
        height: 0.0,
        pitch: [0.0, 1.0],
        rear_contact: zero,
        rear_contact_ground: [0.0; 2],
        margins: Margins {
            upper: [0.0; 2],
            rod: [0.0; 2],
            rocker: 0.0,
            fold: 0.0,
        },
        unknowns: [0.0; 3],
        residual: f64::INFINITY,
        solved: false,
    }
}
