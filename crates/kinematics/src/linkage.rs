//! A machine prepared for solving, and its poses.

use crate::coupling::RockerLink;
use crate::knuckle::{CornerLink, CornerState, SMALLEST_MM};
use crate::solve::System;
use crate::wheel::Tyre;
use crate::{
    CornerPose, Coupling, DesignFault, Drive, Failure, Lane, Machine, Margins, Pose, Side, Target,
    V3, Wheel,
};

/// Largest lean or steer, radians, and mean travel, mm, of one continuation step.
const STEP_LEAN: f64 = 0.05;
const STEP_STEER: f64 = 0.10;
const STEP_TRAVEL: f64 = 15.0;
/// How often a failing continuation step is halved before the failure is believed.
const MOST_HALVINGS: u32 = 5;

/// A machine checked and prepared: lengths, loops and branches of its design pose.
#[derive(Clone, Debug)]
pub struct Linkage {
    machine: Machine,
    pub(crate) corners: [CornerLink; 2],
    pub(crate) tyres: [Tyre; 2],
    pub(crate) rear_tyre: Tyre,
    pub(crate) rear_centre: V3<f64>,
    pub(crate) rear_axis: V3<f64>,
    pub(crate) rocker: Option<RockerLink>,
    /// Sum of the heights of both lower ball joints in the design pose, mm.
    pub(crate) design_sum: f64,
    /// Per side: foot of the rod end on the crank axis, radius vector, axis × radius vector.
    crank: [[V3<f64>; 3]; 2],
    /// Design determinants: [mean travel, rocker].
    determinants: [f64; 2],
    design: Pose<f64>,
}

impl Linkage {
    /// Checks the machine, prepares it and solves its design pose.
    ///
    /// # Errors
    /// Names the first fault of shape, or why the design pose cannot be solved.
    pub fn new(machine: &Machine) -> Result<Linkage, DesignFault> {
        check_finite(machine)?;
        let corners = [
            CornerLink::new(&machine.left, Side::Left)?,
            CornerLink::new(&machine.right, Side::Right)?,
        ];
        for wheel in [&machine.left.wheel, &machine.right.wheel, &machine.rear] {
            check_wheel(wheel)?;
        }
        let size = machine.crank.direction.norm();
        if size < 1e-9 {
            return Err(DesignFault::ZeroAxis);
        }
        let crank_axis = machine.crank.direction.scale(1.0 / size);
        let crank_of = |corner: &CornerLink, side| {
            let reach = (corner.rod_inner - machine.crank.point).across(crank_axis);
            match reach.norm() < SMALLEST_MM {
                true => Err(DesignFault::RodEndOnCrankAxis(side)),
                false => Ok([corner.rod_inner - reach, reach, crank_axis.cross(reach)]),
            }
        };
        let crank = [
            crank_of(&corners[0], Side::Left)?,
            crank_of(&corners[1], Side::Right)?,
        ];
        let rocker = match &machine.coupling {
            Coupling::MeanTravel => None,
            Coupling::Rocker(r) => {
                Some(RockerLink::new(r, [&corners[0].lower, &corners[1].lower])?)
            }
        };
        let mut linkage = Linkage {
            corners,
            tyres: [
                Tyre::new(&machine.left.wheel),
                Tyre::new(&machine.right.wheel),
            ],
            rear_tyre: Tyre::new(&machine.rear),
            rear_centre: machine.rear.centre,
            rear_axis: machine.rear.axis,
            rocker,
            design_sum: machine.left.lower.ball_joint.z + machine.right.lower.ball_joint.z,
            crank,
            determinants: [1.0; 2],
            design: unsolved(),
            machine: *machine,
        };
        linkage.settle()?;
        Ok(linkage)
    }

    /// Solves the design pose and keeps the determinants that name its branch.
    fn settle(&mut self) -> Result<(), DesignFault> {
        let mut target = Target {
            lean: 0.0,
            steer: 0.0,
            mean_travel: Some(0.0),
        };
        let plain = self.solve_from(&Drive::new(&target), &[0.0; 3]);
        self.determinants[0] = plain.margins.fold;
        target.mean_travel = None;
        let coupled = self.solve_from(&Drive::new(&target), &plain.unknowns);
        self.determinants[usize::from(self.rocker.is_some())] = coupled.margins.fold;
        self.design = self.solve_from(&Drive::new(&target), &coupled.unknowns);
        match self.design.failure() {
            Some(why) => Err(DesignFault::Unsolvable(why)),
            None => Ok(()),
        }
    }

    /// The machine as given.
    pub fn machine(&self) -> &Machine {
        &self.machine
    }

    /// The pose at lean 0, steer 0, on the machine's own coupling.
    pub fn design_pose(&self) -> &Pose<f64> {
        &self.design
    }

    /// Unit hinge direction of a wishbone, rear to front pivot.
    pub fn hinge(&self, side: Side, upper: bool) -> V3<f64> {
        let corner = &self.corners[side as usize];
        if upper {
            corner.upper.hinge
        } else {
            corner.lower.hinge
        }
    }

    /// Coordinates in the knuckle of a direction given in frame axes in the design pose;
    /// [`CornerPose::knuckle_vector`] turns them back in any pose.
    pub fn knuckle_coordinates(&self, side: Side, direction: V3<f64>) -> [f64; 3] {
        self.corners[side as usize].knuckle_coordinates(direction)
    }

    /// Rod ends on the crank.
    #[inline(always)]
    pub(crate) fn rod_inner<L: Lane>(&self, drive: &Drive<L>) -> [V3<L>; 2] {
        let end = |side: usize| {
            let [foot, reach, aside] = self.crank[side].map(V3::splat);
            foot + reach.scale(drive.steer_cos) + aside.scale(drive.steer_sin)
        };
        [end(0), end(1)]
    }

    /// One Newton iteration from a neighbouring pose. The result stands where `solved` holds;
    /// the caller keeps the steps small enough to stay on one branch.
    #[inline]
    pub fn solve<L: Lane>(&self, drive: &Drive<L>, near: &Pose<L>) -> Pose<L> {
        self.solve_from(drive, &near.unknowns)
    }

    /// The same, started on the straight line through two earlier poses: `ahead` = 1 lies as
    /// far beyond `near` as `near` lies beyond `before`.
    #[inline]
    pub fn solve_ahead<L: Lane>(
        &self,
        drive: &Drive<L>,
        before: &Pose<L>,
        near: &Pose<L>,
        ahead: f64,
    ) -> Pose<L> {
        let guess =
            |k: usize| near.unknowns[k] + (near.unknowns[k] - before.unknowns[k]) * L::splat(ahead);
        self.solve_from(drive, &[guess(0), guess(1), guess(2)])
    }

    #[inline(always)]
    fn solve_from<L: Lane>(&self, drive: &Drive<L>, start: &[L; 3]) -> Pose<L> {
        let (unknowns, system) = self.iterate(drive, start);
        self.finish(drive, unknowns, &system)
    }

    /// Continuation from the design pose in small steps along a straight line of the drives.
    ///
    /// # Errors
    /// Names the loop that cannot close, a branch change or missing convergence.
    pub fn pose(&self, target: &Target) -> Result<Pose<f64>, Failure> {
        let start = Target {
            lean: 0.0,
            steer: 0.0,
            mean_travel: target.mean_travel.map(|_| 0.0),
        };
        let first = self.solve(&Drive::new(&start), &self.design);
        match first.failure() {
            Some(why) => Err(why),
            None => self.advance(&first, &start, target),
        }
    }

    /// Continuation from the solved pose `near` (at `from`) to `to`.
    ///
    /// # Errors
    /// As [`Linkage::pose`].
    pub fn advance(
        &self,
        near: &Pose<f64>,
        from: &Target,
        to: &Target,
    ) -> Result<Pose<f64>, Failure> {
        let travel = |t: &Target| t.mean_travel.unwrap_or(0.0);
        let span = ((to.lean - from.lean).abs() / STEP_LEAN)
            .max((to.steer - from.steer).abs() / STEP_STEER)
            .max((travel(to) - travel(from)).abs() / STEP_TRAVEL);
        let whole = libm::ceil(span).clamp(1.0, 1e4);
        let (mut pose, mut done, mut step) = (*near, 0.0, 1.0 / whole);
        let smallest = step / f64::from(1u32 << MOST_HALVINGS);
        while done < 1.0 {
            let next = if done + step > 1.0 - 1e-12 {
                1.0
            } else {
                done + step
            };
            let tried = self.solve(&Drive::new(&between(from, to, next)), &pose);
            match tried.failure() {
                None => (pose, done) = (tried, next),
                Some(why) if step <= smallest => return Err(why),
                Some(_) => step *= 0.5,
            }
        }
        Ok(pose)
    }

    /// d(steer angle) / d(crank angle) of the left and right wheel, at constant lean on the
    /// coupling of `drive`, frame pitch following.
    pub fn steer_rates(&self, pose: &Pose<f64>, drive: &Drive<f64>) -> [f64; 2] {
        let system = self.system(drive, &pose.unknowns);
        let moved = [0, 1].map(|i| {
            let [_, reach, aside] = self.crank[i];
            let v = aside.scale(drive.steer_cos) - reach.scale(drive.steer_sin);
            self.corners[i].steer_rate(&system.states[i], system.rod_inner[i], v)
        });
        let lift = |i: usize| {
            system.up.dot(moved[i].centre)
                + self.tyres[i].lift_rate(&system.drops[i], moved[i].axis.dot(system.up))
        };
        let turns = system.turns(lift(0), lift(1), 0.0);
        let up_rate = system.up_rate.scale(turns[2]);
        [0, 1].map(|i| {
            let axis_rate = moved[i].axis + system.rates[i].axis.scale(turns[i]);
            heading_rate(
                self.rear_axis,
                system.up,
                up_rate,
                system.states[i].axis,
                axis_rate,
            )
        })
    }

    #[inline(always)]
    fn finish<L: Lane>(&self, drive: &Drive<L>, unknowns: [L; 3], system: &System<L>) -> Pose<L> {
        let up = system.up;
        let rear_axis = V3::splat(self.rear_axis);
        let ground_x = rear_axis.cross(up).unit();
        let ground_y = up.cross(ground_x);
        let flat = |p: V3<L>| [p.dot(ground_x), p.dot(ground_y)];
        let corner = |i: usize| {
            let s: &CornerState<L> = &system.states[i];
            let contact = self.tyres[i].contact(s.centre, s.axis, up, &system.drops[i]);
            let link = &self.corners[i];
            let turned = |out: V3<L>, arm: &crate::knuckle::Arm| {
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

/// Rate of atan2(n·(a_r × a), a·a_r − (a·n)(a_r·n)): the angle on the ground from the
/// heading of the axis a_r to that of the axis a.
fn heading_rate(rear: V3<f64>, n: V3<f64>, dn: V3<f64>, a: V3<f64>, da: V3<f64>) -> f64 {
    let y = n.dot(rear.cross(a));
    let x = a.dot(rear) - a.dot(n) * rear.dot(n);
    let dy = dn.dot(rear.cross(a)) + n.dot(rear.cross(da));
    let dx = da.dot(rear) - (da.dot(n) + a.dot(dn)) * rear.dot(n) - a.dot(n) * rear.dot(dn);
    (x * dy - y * dx) / (x * x + y * y)
}

fn between(from: &Target, to: &Target, part: f64) -> Target {
    let mix = |a: f64, b: f64| if part >= 1.0 { b } else { a + (b - a) * part };
    Target {
        lean: mix(from.lean, to.lean),
        steer: mix(from.steer, to.steer),
        mean_travel: to
            .mean_travel
            .map(|h| mix(from.mean_travel.unwrap_or(0.0), h)),
    }
}

fn check_finite(m: &Machine) -> Result<(), DesignFault> {
    let corner = |c: &crate::Corner| {
        let arm = |w: &crate::Wishbone| {
            w.front_pivot.is_finite() && w.rear_pivot.is_finite() && w.ball_joint.is_finite()
        };
        arm(&c.lower)
            && arm(&c.upper)
            && c.rod_inner.is_finite()
            && c.rod_outer.is_finite()
            && finite_wheel(&c.wheel)
    };
    let rocker = match &m.coupling {
        Coupling::MeanTravel => true,
        Coupling::Rocker(r) => {
            r.axis.point.is_finite()
                && r.axis.direction.is_finite()
                && r.arm.is_finite()
                && r.left_foot.is_finite()
                && r.right_foot.is_finite()
        }
    };
    let crank = m.crank.point.is_finite() && m.crank.direction.is_finite();
    let all = corner(&m.left) && corner(&m.right) && finite_wheel(&m.rear) && crank && rocker;
    if all {
        Ok(())
    } else {
        Err(DesignFault::NotFinite)
    }
}

fn finite_wheel(w: &Wheel) -> bool {
    w.centre.is_finite()
        && w.axis.is_finite()
        && w.radius.is_finite()
        && w.section_radius.is_finite()
}

fn check_wheel(w: &Wheel) -> Result<(), DesignFault> {
    if (w.axis.norm() - 1.0).abs() > 1e-9 {
        return Err(DesignFault::ZeroAxis);
    }
    if w.section_radius < 0.0 || w.section_radius >= w.radius {
        return Err(DesignFault::WheelSize);
    }
    Ok(())
}

/// A placeholder until the design pose is solved; never seen outside [`Linkage::new`].
fn unsolved() -> Pose<f64> {
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
