//! What a pose is asked by and what it returns.

use crate::{Failure, Lane, Loop, Side, V3};

/// Sine of the inclination beyond which a wheel counts as lying flat (88.2°).
pub(crate) const FLAT_WHEEL: f64 = 0.9995;

/// What one pose is asked for, in plain angles.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Target {
    /// ISO roll, radians: positive raises the left side (leans right).
    pub lean: f64,
    /// Right-handed rotation of the crank about its own axis, radians; of the handlebar about its
    /// own where a drag link joins the two; for a slider its travel along the rail, mm.
    pub steer: f64,
    /// `Some(h)`: the mean rise of the lower ball joints is h mm (a rocker is disconnected).
    /// `None`: the machine's own coupling; without a rocker that means a mean rise of 0.
    pub mean_travel: Option<f64>,
}

/// The same in the form that the kernel takes: sines and cosines.
#[derive(Clone, Copy, Debug)]
pub struct Drive<L: Lane> {
    /// Sine of the lean.
    pub lean_sin: L,
    /// Cosine of the lean.
    pub lean_cos: L,
    /// Sine of the crank angle, or of the handlebar's behind a drag link.
    pub steer_sin: L,
    /// Cosine of that angle.
    pub steer_cos: L,
    /// The steering drive itself: that angle, radians, or slider travel, mm.
    pub steer: L,
    /// Mean rise of the lower ball joints, mm; not read where the rocker holds it.
    pub mean_travel: L,
    /// The rocker (if there is one) is connected.
    pub rocker: bool,
}

impl<L: Lane> Drive<L> {
    /// The same target in every lane.
    pub fn new(target: &Target) -> Self {
        Drive {
            lean_sin: L::splat(libm::sin(target.lean)),
            lean_cos: L::splat(libm::cos(target.lean)),
            steer_sin: L::splat(libm::sin(target.steer)),
            steer_cos: L::splat(libm::cos(target.steer)),
            steer: L::splat(target.steer),
            mean_travel: L::splat(target.mean_travel.unwrap_or(0.0)),
            rocker: target.mean_travel.is_none(),
        }
    }
}

/// One front corner in a solved pose. Points and directions in **frame** axes unless said.
#[derive(Clone, Copy, Debug)]
pub struct CornerPose<L> {
    /// Lower ball joint, mm.
    pub lower: V3<L>,
    /// Upper ball joint, mm.
    pub upper: V3<L>,
    /// Rod end on the knuckle, mm.
    pub rod_outer: V3<L>,
    /// The same rod's other end: on crank, slider or centre link, or (cross rod) on the
    /// other knuckle, mm.
    pub rod_inner: V3<L>,
    /// Wheel centre, mm.
    pub centre: V3<L>,
    /// Unit spin axis, pointing left.
    pub axis: V3<L>,
    /// Unit vector along the kingpin, upwards (lower to upper ball joint).
    pub kingpin: V3<L>,
    /// Unit vector of the knuckle's own frame, perpendicular to the kingpin; with `kingpin`
    /// it carries any direction fixed in the knuckle ([`crate::Linkage::knuckle_coordinates`]).
    pub across: V3<L>,
    /// Cosine and sine of the lower wishbone's rotation about its hinge
    /// (hinge direction: rear to front pivot).
    pub lower_turn: [L; 2],
    /// The same for the upper wishbone.
    pub upper_turn: [L; 2],
    /// Contact point in frame axes, mm.
    pub contact: V3<L>,
    /// Contact point in ground axes (x along the rear heading, y left), mm.
    pub contact_ground: [L; 2],
    /// Heading in ground axes, a unit vector (x along the rear heading, y left):
    /// the steer angle is `atan2(heading[1], heading[0])`.
    pub heading: [L; 2],
    /// Sine of the inclination γ to the ground (positive top to the right).
    pub inclination_sin: L,
}

/// How far each loop is from failing: 1 at its best, 0 at dead centre, below 0 beyond.
#[derive(Clone, Copy, Debug)]
pub struct Margins<L> {
    /// Upper wishbone loops, left and right.
    pub upper: [L; 2],
    /// Loops that close the left and the right knuckle: tie rods, or drag link and cross rod.
    pub rod: [L; 2],
    /// The idler's loop; 1 without an idler.
    pub idler: L,
    /// The loop of the handlebar's drag link; 1 without one.
    pub handlebar: L,
    /// Left rocker link; 1 without a rocker.
    pub rocker: L,
    /// The outer system's determinant against its value in the design pose: 1 there,
    /// 0 at a singularity, below 0 beyond it.
    pub fold: L,
}

/// The drag link of a cross-rod layout in a pose, frame axes.
#[derive(Clone, Copy, Debug)]
pub struct DragLink<L> {
    /// The side it moves.
    pub driven: Side,
    /// End on the crank, mm.
    pub inner: V3<L>,
    /// End on the knuckle, mm.
    pub outer: V3<L>,
}

/// A solved pose of the whole machine.
#[derive(Clone, Copy, Debug)]
pub struct Pose<L: Lane> {
    /// Left front corner.
    pub left: CornerPose<L>,
    /// Right front corner.
    pub right: CornerPose<L>,
    /// The ground's upward normal in frame axes.
    pub up: V3<L>,
    /// Ground x axis (along the rear heading) in frame axes.
    pub ground_x: V3<L>,
    /// Ground y axis (left) in frame axes.
    pub ground_y: V3<L>,
    /// Height of the frame's origin above the ground, mm: the height change since the
    /// design pose. A point p of the frame is `up·p + height` above the ground.
    pub height: L,
    /// Sine and cosine of the frame's pitch (nose down positive).
    pub pitch: [L; 2],
    /// Rear contact in frame axes, mm.
    pub rear_contact: V3<L>,
    /// Rear contact in ground axes, mm.
    pub rear_contact_ground: [L; 2],
    /// Sine and cosine of the crank angle; those of a slider mean nothing.
    pub steer: [L; 2],
    /// Sine and cosine of the handlebar angle; those of the crank where no drag link joins them.
    pub handlebar: [L; 2],
    /// The drag link, where the layout has one.
    pub drag: Option<DragLink<L>>,
    /// Margins of all loops.
    pub margins: Margins<L>,
    /// Unknowns at the solution, tangents of half angles: left and right lower wishbone, pitch.
    pub(crate) unknowns: [L; 3],
    /// Sum of the absolute residuals of the outer system, mm.
    pub residual: L,
    /// Converged, on the design branch.
    pub solved: L::Mask,
}

impl<L: Lane> Pose<L> {
    /// The corner on a side.
    pub fn corner(&self, side: Side) -> &CornerPose<L> {
        match side {
            Side::Left => &self.left,
            Side::Right => &self.right,
        }
    }
}

impl Pose<f64> {
    /// Steer angle of a front wheel against the rear heading, radians, positive left.
    pub fn steer_angle(&self, side: Side) -> f64 {
        let h = self.corner(side).heading;
        libm::atan2(h[1], h[0])
    }

    /// Why this pose does not stand, if it does not.
    pub fn failure(&self) -> Option<Failure> {
        if self.solved {
            return None;
        }
        let m = &self.margins;
        let rod = |side: Side| match self.drag {
            Some(drag) if drag.driven == side => Loop::DragLink(side),
            Some(_) => Loop::CrossRod(side),
            None => Loop::TieRod(side),
        };
        let loops = [
            (Loop::UpperWishbone(Side::Left), m.upper[0]),
            (Loop::UpperWishbone(Side::Right), m.upper[1]),
            (rod(Side::Left), m.rod[0]),
            (rod(Side::Right), m.rod[1]),
            (Loop::Idler, m.idler),
            (Loop::Handlebar, m.handlebar),
            (Loop::RockerLink(Side::Left), m.rocker),
        ];
        let worst = loops
            .into_iter()
            .filter(|(_, margin)| *margin < 0.0)
            .min_by(|a, b| a.1.total_cmp(&b.1));
        let flat = [Side::Left, Side::Right]
            .into_iter()
            .find(|side| self.corner(*side).inclination_sin.abs() > FLAT_WHEEL);
        Some(match worst {
            Some((which, margin)) => Failure::CannotAssemble {
                which,
                shortfall: -margin,
            },
            None => match flat {
                Some(side) => Failure::LostContact(side),
                None if m.fold <= 0.0 => Failure::BranchChange,
                None => Failure::NotConverged {
                    residual: self.residual,
                },
            },
        })
    }
}

impl<L: Lane> CornerPose<L> {
    /// Foot of a point on the kingpin's line.
    #[inline(always)]
    pub fn foot(&self, point: V3<L>) -> V3<L> {
        self.lower + self.kingpin.scale((point - self.lower).dot(self.kingpin))
    }
    /// A direction fixed in the knuckle, in frame axes, from its knuckle coordinates.
    #[inline(always)]
    pub fn knuckle_vector(&self, coordinates: [f64; 3]) -> V3<L> {
        let [a, b, c] = coordinates.map(L::splat);
        self.across.scale(a) + self.kingpin.cross(self.across).scale(b) + self.kingpin.scale(c)
    }
}
