//! A machine prepared for solving, and its poses.

use crate::assemble::unsolved;
use crate::check::{check_finite, check_wheel};
use crate::coupling::RockerLink;
use crate::handlebar::{self, HandlebarLink};
use crate::knuckle::CornerLink;
use crate::steering::Driver;
use crate::wheel::Tyre;
use crate::{Coupling, DesignFault, Drive, Lane, Layout, Loop, Machine, Pose, Side, Target, V3};

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
    pub(crate) driver: Driver,
    pub(crate) handlebar: Option<HandlebarLink>,
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
        for wheel in [&machine.left.wheel, &machine.right.wheel, &machine.rear] {
            check_wheel(wheel)?;
        }
        let corners = [
            corner_link(machine, Side::Left)?,
            corner_link(machine, Side::Right)?,
        ];
        let driver = driver_of(machine, &corners)?;
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
            driver,
            handlebar: handlebar::of_machine(machine)?,
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
        if self.rocker.is_some() {
            self.determinants[1] = coupled.margins.fold;
        }
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

    /// Foot and rocker end of the left and right rocker link in a pose, frame axes, mm; `None`
    /// without a rocker.
    pub fn rocker_links(&self, pose: &Pose<f64>) -> Option<[[V3<f64>; 2]; 2]> {
        let out = |side: Side| {
            let arm = &self.corners[side as usize].lower;
            let [c, s] = pose.corner(side).lower_turn;
            arm.out.rotated(arm.hinge, c, s)
        };
        let arms = [&self.corners[0].lower, &self.corners[1].lower];
        let outs = [out(Side::Left), out(Side::Right)];
        self.rocker.as_ref().map(|rocker| rocker.links(arms, outs))
    }

    /// Ends of the centre link in a pose, on the crank and on the idler, frame axes, mm; `None`
    /// where the layout has none.
    pub fn centre_link<L: Lane>(&self, pose: &Pose<L>) -> Option<[V3<L>; 2]> {
        self.driver.centre_link(pose.steer)
    }

    /// Coordinates in the knuckle of a direction given in frame axes in the design pose;
    /// [`crate::CornerPose::knuckle_vector`] turns them back in any pose.
    pub fn knuckle_coordinates(&self, side: Side, direction: V3<f64>) -> [f64; 3] {
        self.corners[side as usize].knuckle_coordinates(direction)
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

    #[inline]
    fn solve_from<L: Lane>(&self, drive: &Drive<L>, start: &[L; 3]) -> Pose<L> {
        match self.driver.is_cross() {
            true => self.run::<L, true>(drive, start),
            false => self.run::<L, false>(drive, start),
        }
    }

    #[inline]
    fn run<L: Lane, const CROSS: bool>(&self, drive: &Drive<L>, start: &[L; 3]) -> Pose<L> {
        let (crank, margin) = self.at_crank(drive);
        let (unknowns, system) = self.iterate::<L, CROSS>(&crank, start);
        self.finish::<L, CROSS>(drive, (&crank, margin), unknowns, &system)
    }
}

/// The rod that turns a knuckle: its own tie rod, or (cross rod) the drag link on the driven
/// side and the cross rod itself on the other.
fn corner_link(machine: &Machine, side: Side) -> Result<CornerLink, DesignFault> {
    let (corner, other) = match side {
        Side::Left => (&machine.left, &machine.right),
        Side::Right => (&machine.right, &machine.left),
    };
    let (inner, outer, turning) = match &machine.layout {
        Layout::CrossRod {
            driven,
            drag_inner,
            drag_outer,
        } if *driven == side => (*drag_inner, *drag_outer, Loop::DragLink(side)),
        Layout::CrossRod { .. } => (other.rod_outer, corner.rod_outer, Loop::CrossRod(side)),
        _ => (corner.rod_inner, corner.rod_outer, Loop::TieRod(side)),
    };
    CornerLink::new(corner, inner, outer, side).map_err(|fault| match fault {
        DesignFault::AtDeadCentre(Loop::TieRod(_)) => DesignFault::AtDeadCentre(turning),
        other => other,
    })
}

/// The driver, with the cross rod's end placed in the driven knuckle.
fn driver_of(machine: &Machine, corners: &[CornerLink; 2]) -> Result<Driver, DesignFault> {
    let mut driver = Driver::new(machine)?;
    if let Driver::DragLink { driven, cross, .. } = &mut driver {
        let corner = [&machine.left, &machine.right][*driven];
        *cross = corners[*driven].knuckle_point(corner.rod_outer);
    }
    Ok(driver)
}
