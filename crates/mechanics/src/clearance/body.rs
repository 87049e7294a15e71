//! Sizes of what is drawn as lines, and what stands on the frame.

use crate::shapes::Block;

/// Sizes of the parts of a machine, mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Body {
    /// Radius of the steering's rods and links.
    pub rod_radius: f64,
    /// Radius of the wishbones' legs.
    pub leg_radius: f64,
    /// Radius of the rocker's links.
    pub link_radius: f64,
    /// Rims of the front wheels.
    pub rim: Option<Rim>,
    /// Hubs of the front wheels.
    pub hub: Option<Drum>,
    /// Brake discs of the front wheels.
    pub disc: Option<Drum>,
    /// Caliper of the left front brake, in frame axes in the design pose, fixed in the knuckle;
    /// that of the right one is its mirror image.
    pub caliper: Option<Block>,
    /// Boxes fixed to the frame.
    pub boxes: Vec<FrameBox>,
    /// A smaller gap than this stops steering and lean.
    pub least_gap: f64,
}

/// A rim: a torus.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rim {
    /// Outer radius.
    pub radius: f64,
    /// Radius of its section.
    pub section_radius: f64,
}

/// A solid turned about the wheel's axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drum {
    /// Radius.
    pub radius: f64,
    /// Where it begins and ends along the axle from the wheel's middle, outwards positive.
    pub along: [f64; 2],
}

/// A box fixed to the frame.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FrameBox {
    /// The box, in frame axes.
    pub block: Block,
    /// What is mounted on it and therefore not measured against it.
    pub carries: Carries,
}

/// What a box carries.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Carries {
    /// The lower wishbones.
    pub lower: bool,
    /// The upper wishbones.
    pub upper: bool,
    /// Rods and links of the steering.
    pub steering: bool,
    /// The rocker and its links.
    pub coupling: bool,
    /// The rear wheel.
    pub rear_wheel: bool,
}

/// Boxes whose corners lie this close are mirror images, mm.
const SAME: f64 = 1e-6;

impl Body {
    /// Every box has its mirror image.
    pub(crate) fn is_symmetric(&self) -> bool {
        (0..self.boxes.len()).all(|i| self.twin(i).is_some())
    }

    /// Index of a box's mirror image.
    pub(crate) fn twin(&self, i: usize) -> Option<usize> {
        let image = self.boxes[i].block.mirrored();
        let same = |b: &FrameBox| {
            b.carries == self.boxes[i].carries
                && b.block.half == image.half
                && (b.block.centre - image.centre).norm() < SAME
                && covers(&b.block, &image)
        };
        self.boxes.iter().position(same)
    }
}

/// Two boxes of one middle and size cover the same room: their axes are the same lines.
fn covers(a: &Block, b: &Block) -> bool {
    (0..3).all(|i| a.half[i] * a.axes[i].cross(b.axes[i]).norm() < SAME)
}
