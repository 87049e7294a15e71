//! From the solved unknowns to the pose that is returned.

use crate::knuckle::Arm;
use crate::pose::FLAT_WHEEL;
use crate::solve::System;
use crate::wheel::Drop;
use crate::{CornerPose, DragLink, Drive, Lane, Linkage, Margins, Pose, Side, V3};

impl Linkage {
    #[inline(always)]
    pub(crate) fn finish<L: Lane, const CROSS: bool>(
        &self,
        drive: &Drive<L>,
        crank: (&Drive<L>, L),
        unknowns: [L; 3],
        system: &System<L>,
    ) -> Pose<L> {
        let up = system.up;
        let rear_axis = V3::splat(self.rear_axis);
        let ground_x = rear_axis.cross(up).unit();
        let ground_y = up.cross(ground_x);
        let ground = [ground_x, ground_y];
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
            idler: system.driver_margin,
            handlebar: crank.1,
            rocker: system.couple.margin,
            fold: system.determinant / L::splat(self.determinants[coupled]),
        };
        let residual = system.residual();
        Pose {
            left: self.corner_pose::<L, CROSS>(system, ground, 0),
            right: self.corner_pose::<L, CROSS>(system, ground, 1),
            up,
            ground_x,
            ground_y,
            height: system.height,
            pitch: system.pitch,
            rear_contact,
            rear_contact_ground: flat(rear_contact, ground),
            steer: [crank.0.steer_sin, crank.0.steer_cos],
            handlebar: [drive.steer_sin, drive.steer_cos],
            drag: self.drag::<L, CROSS>(system),
            solved: stands(&margins, &system.drops, Linkage::accepted(residual)),
            margins,
            unknowns,
            residual,
        }
    }
}

impl Linkage {
    #[inline(always)]
    fn corner_pose<L: Lane, const CROSS: bool>(
        &self,
        system: &System<L>,
        ground: [V3<L>; 2],
        i: usize,
    ) -> CornerPose<L> {
        let (s, link) = (&system.states[i], &self.corners[i]);
        let contact = self.tyres[i].contact(s.centre, s.axis, system.up, &system.drops[i]);
        let [rod_inner, rod_outer] = self.rod::<L, CROSS>(system, i);
        CornerPose {
            lower: s.lower,
            upper: s.upper,
            rod_outer,
            rod_inner,
            centre: s.centre,
            axis: s.axis,
            kingpin: s.kingpin,
            across: s.across,
            lower_turn: turned(s.out, &link.lower),
            upper_turn: turned(s.upper_out, &link.upper),
            contact,
            contact_ground: flat(contact, ground),
            heading: flat(s.axis.cross(system.up).unit(), ground),
            inclination_sin: system.drops[i].sine,
        }
    }

    /// Inner and outer end of a side's rod; a cross rod is seen from both sides.
    #[inline(always)]
    fn rod<L: Lane, const CROSS: bool>(&self, system: &System<L>, side: usize) -> [V3<L>; 2] {
        let (driven, other) = self.driver.order();
        if CROSS && side == driven {
            return [system.states[other].rod_outer, system.rod_inner[other]];
        }
        [system.rod_inner[side], system.states[side].rod_outer]
    }

    #[inline(always)]
    fn drag<L: Lane, const CROSS: bool>(&self, system: &System<L>) -> Option<DragLink<L>> {
        let driven = self.driver.order().0;
        CROSS.then(|| DragLink {
            driven: if driven == 0 { Side::Left } else { Side::Right },
            inner: system.rod_inner[driven],
            outer: system.states[driven].rod_outer,
        })
    }
}

#[inline(always)]
fn flat<L: Lane>(p: V3<L>, ground: [V3<L>; 2]) -> [L; 2] {
    [p.dot(ground[0]), p.dot(ground[1])]
}

/// Cosine and sine of an arm's rotation since the design pose.
#[inline(always)]
fn turned<L: Lane>(out: V3<L>, arm: &Arm) -> [L; 2] {
    [out.dot(V3::splat(arm.out)), out.dot(V3::splat(arm.aside))]
}

/// All loops close on the design branch, no wheel lies flat, and the iteration converged.
#[inline(always)]
fn stands<L: Lane>(m: &Margins<L>, drops: &[Drop<L>; 2], converged: L::Mask) -> L::Mask {
    let least = m.upper[0]
        .min(m.upper[1])
        .min(m.rod[0])
        .min(m.rod[1])
        .min(m.idler)
        .min(m.handlebar)
        .min(m.rocker);
    let closed = L::and(L::splat(0.0).less(least), L::splat(0.0).less(m.fold));
    let tilt = drops[0].sine.abs().max(drops[1].sine.abs());
    L::and(L::and(closed, tilt.less(L::splat(FLAT_WHEEL))), converged)
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
        steer: [0.0, 1.0],
        handlebar: [0.0, 1.0],
        drag: None,
        margins: Margins {
            upper: [0.0; 2],
            rod: [0.0; 2],
            rocker: 0.0,
            idler: 0.0,
            handlebar: 0.0,
            fold: 0.0,
        },
        unknowns: [0.0; 3],
        residual: f64::INFINITY,
        solved: false,
    }
}
