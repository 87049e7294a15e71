//! The machine as drawn: hardpoints in frame axes, in the design pose.

use crate::V3;

/// A wheel with a torus tyre.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wheel {
    /// Wheel centre, mm.
    pub centre: V3<f64>,
    /// Unit spin axis; points to the **left** on all three wheels, so that
    /// spin axis × ground normal is the heading.
    pub axis: V3<f64>,
    /// Outer radius R of the tyre, mm.
    pub radius: f64,
    /// Radius r of the tyre's round section, mm; 0 is a thin disc.
    pub section_radius: f64,
}

impl Wheel {
    /// Spin axis (pointing left) of a front wheel from static toe-in and camber, radians:
    /// outward axis (sin t·cos c, cos t·cos c, −sin c) on the left, mirrored on the right.
    pub fn front_axis(side: crate::Side, toe_in: f64, camber: f64) -> V3<f64> {
        let (st, ct) = (libm::sin(toe_in), libm::cos(toe_in));
        let (sc, cc) = (libm::sin(camber), libm::cos(camber));
        match side {
            crate::Side::Left => V3::new(st * cc, ct * cc, -sc),
            crate::Side::Right => V3::new(-st * cc, ct * cc, sc),
        }
    }
}

/// A wishbone: hinged on the frame about the line through two points, a ball joint outside.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wishbone {
    /// Front point of the hinge, mm.
    pub front_pivot: V3<f64>,
    /// Rear point of the hinge, mm.
    pub rear_pivot: V3<f64>,
    /// Centre of the ball joint, mm.
    pub ball_joint: V3<f64>,
}

/// One front corner: both wishbones, the tie rod and the wheel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Corner {
    /// Lower wishbone.
    pub lower: Wishbone,
    /// Upper wishbone.
    pub upper: Wishbone,
    /// Rod end on the crank, mm.
    pub rod_inner: V3<f64>,
    /// Rod end on the knuckle, mm.
    pub rod_outer: V3<f64>,
    /// The wheel on the knuckle.
    pub wheel: Wheel,
}

impl Corner {
    /// The same corner on the other side of the machine.
    pub fn mirrored(&self) -> Corner {
        let arm = |w: &Wishbone| Wishbone {
            front_pivot: w.front_pivot.mirrored(),
            rear_pivot: w.rear_pivot.mirrored(),
            ball_joint: w.ball_joint.mirrored(),
        };
        let axis = self.wheel.axis;
        Corner {
            lower: arm(&self.lower),
            upper: arm(&self.upper),
            rod_inner: self.rod_inner.mirrored(),
            rod_outer: self.rod_outer.mirrored(),
            wheel: Wheel {
                centre: self.wheel.centre.mirrored(),
                // The mirror image of a left-pointing axis points right; turn it round.
                axis: V3::new(-axis.x, axis.y, -axis.z),
                ..self.wheel
            },
        }
    }
}

/// A fixed axis in frame axes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Axis {
    /// A point on the axis, mm.
    pub point: V3<f64>,
    /// Direction; need not be a unit vector, must not be zero.
    pub direction: V3<f64>,
}

/// A rocker that joins the lower wishbones: what one wheel rises the other falls.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rocker {
    /// Pivot and its direction; must not lie along y.
    pub axis: Axis,
    /// Half length, mm: in the design pose the ends lie at pivot ± arm along y.
    pub arm: f64,
    /// Link foot on the left lower wishbone, mm.
    pub left_foot: V3<f64>,
    /// Link foot on the right lower wishbone, mm.
    pub right_foot: V3<f64>,
}

/// What joins the left and the right wishbones in lean.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Coupling {
    /// The mean rise of the lower ball joints is held at a requested value.
    MeanTravel,
    /// A rocker with two links holds it.
    Rocker(Rocker),
}

/// How the driver (crank or rail) reaches the knuckles.
///
/// Closed set: each layout is its own closed form in `steering.rs`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Layout {
    /// One crank, a tie rod to each knuckle.
    CentreCrank,
    /// A rail along [`Machine::crank`]'s direction (its point is not read), a tie rod to each
    /// knuckle. The drive is the travel in mm.
    Slider,
    /// Crank and idler joined by a centre link that carries both inner rod ends.
    IdlerParallelogram {
        /// Idler axis.
        idler: Axis,
        /// Centre link's end on the crank, mm.
        crank_end: V3<f64>,
        /// Centre link's end on the idler, mm.
        idler_end: V3<f64>,
    },
    /// One cross rod from knuckle to knuckle between both `rod_outer` (no `rod_inner` is
    /// read), and a drag link from the crank to one knuckle.
    CrossRod {
        /// The side whose knuckle the drag link moves.
        driven: crate::Side,
        /// Drag link's end on the crank, mm.
        drag_inner: V3<f64>,
        /// Drag link's end on the driven knuckle, mm.
        drag_outer: V3<f64>,
    },
}

/// A handlebar that turns the crank by a drag link.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Handlebar {
    /// Axis of the handlebar; a positive drive is right-handed about it.
    pub axis: Axis,
    /// Link's end on the handlebar's arm, mm.
    pub arm_end: V3<f64>,
    /// Link's end on the crank, mm.
    pub crank_end: V3<f64>,
}

/// The whole machine in its design pose. A plain record: [`crate::Linkage::new`] checks it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Machine {
    /// Left front corner.
    pub left: Corner,
    /// Right front corner.
    pub right: Corner,
    /// Rear wheel, fixed to the frame.
    pub rear: Wheel,
    /// Crank axis of the steering, or the rail's direction.
    pub crank: Axis,
    /// How the crank or rail reaches the knuckles.
    pub layout: Layout,
    /// The handlebar where a drag link joins it to the crank; the drive is then its angle.
    /// `None`: the handlebar is the crank.
    pub handlebar: Option<Handlebar>,
    /// Lean coupling.
    pub coupling: Coupling,
}

impl Machine {
    /// The front corner on a side.
    pub fn corner(&self, side: crate::Side) -> &Corner {
        match side {
            crate::Side::Left => &self.left,
            crate::Side::Right => &self.right,
        }
    }
}
