//! Hardpoints to solved poses of a leaning three-wheeler: two steered front wheels on
//! double wishbones, one rear wheel, all three on flat ground.
//!
//! Closed form inside (upper ball joint, tie-rod end and rocker are circle∩sphere), a small
//! Newton iteration outside (two wishbone angles and frame pitch). Millimetres and radians;
//! ISO 8855 axes (x forward, y left, z up). No I/O, no clock, no serde, no allocation in the
//! pose solve.

mod assemble;
mod centre_link;
mod check;
mod circle;
mod continuation;
mod coupling;
mod fault;
mod handlebar;
mod knuckle;
mod lane;
mod lanes;
mod linkage;
mod machine;
mod pose;
mod rates;
mod row;
mod solve;
mod steering;
mod vector;
mod wheel;

pub use fault::{DesignFault, Failure, Loop, Side};
pub use lane::Lane;
pub use linkage::Linkage;
pub use machine::{Axis, Corner, Coupling, Handlebar, Layout, Machine, Rocker, Wheel, Wishbone};
pub use pose::{CornerPose, DragLink, Drive, Margins, Pose, Target};
pub use row::{Row, RowMask};
pub use vector::V3;
