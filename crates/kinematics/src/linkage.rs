//! A machine prepared for solving, and its poses.

use crate::assemble::unsolved;
use crate::check::{check_finite, check_wheel};
use crate::coupling::RockerLink;
use crate::knuckle::{CornerLink, SMALLEST_MM};
use crate::wheel::Tyre;
use crate::{Coupling, DesignFault, Drive, Lane, Machine, Pose, Side, Target, V3};

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
    pub(crate) determinants: [f64; 2],
    pub(crate) design: Pose<f64>,
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
