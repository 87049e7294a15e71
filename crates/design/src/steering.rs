//! Wire types of the steering block: one record per layout, told apart by `layout`.

use crate::handlebar::{CableInput, HandlebarInput, HandlebarLinkInput};
use crate::job::SideName;
use crate::vehicle::Point;
use serde::{Deserialize, Serialize};

/// The steering linkage. A closed set: each layout needs its own hardpoints.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "layout", rename_all = "snake_case")]
pub enum Steering {
    /// A crank in the middle, one tie rod to each knuckle.
    CentreCrank(CentreCrank),
    /// A slider on a rail, one tie rod to each knuckle.
    Slider(Slider),
    /// Crank and idler joined by a centre link, from which one tie rod goes to each knuckle.
    IdlerParallelogram(IdlerParallelogram),
    /// One rod from knuckle to knuckle, and a drag link from the crank to one of them.
    CrossRod(CrossRod),
}

/// A centre crank with two tie rods.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CentreCrank {
    /// The crank's axis.
    pub crank: Crank,
    /// How the handlebar reaches the crank; absent: direct.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub handlebar: Option<HandlebarInput>,
    /// Rod end on the crank, mm.
    pub rod_inner_mm: Point,
    /// Rod end on the knuckle, mm.
    pub rod_outer_mm: Point,
}

/// A slider with two tie rods. Its drive is a travel in mm instead of a crank angle.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Slider {
    /// The rail.
    pub rail: Rail,
    /// Rod end on the slider, mm.
    pub rod_inner_mm: Point,
    /// Rod end on the knuckle, mm.
    pub rod_outer_mm: Point,
}

/// The rail of a slider.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rail {
    /// Direction; a positive travel runs along it.
    pub axis: [f64; 3],
    /// Travel per degree of the handlebar, mm.
    pub travel_mm_per_handlebar_deg: f64,
}

/// Crank and idler with a centre link between them and two tie rods on the link.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct IdlerParallelogram {
    /// The crank's axis.
    pub crank: Crank,
    /// How the handlebar reaches the crank; absent: direct.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub handlebar: Option<HandlebarInput>,
    /// The idler's axis; absent: the mirror image of the crank's.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub idler: Option<Crank>,
    /// The centre link's end on the crank, mm.
    pub crank_end_mm: Point,
    /// The centre link's end on the idler, mm; absent: the mirror image of that on the crank.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub idler_end_mm: Option<Point>,
    /// Rod end on the centre link, mm.
    pub rod_inner_mm: Point,
    /// Rod end on the knuckle, mm.
    pub rod_outer_mm: Point,
}

/// A cross rod with a drag link.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CrossRod {
    /// The crank's axis.
    pub crank: Crank,
    /// How the handlebar reaches the crank; absent: direct.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub handlebar: Option<HandlebarInput>,
    /// Cross rod's end on the knuckle, mm.
    pub rod_outer_mm: Point,
    /// The drag link.
    pub drag_link: DragLink,
}

/// The drag link of a cross-rod steering.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DragLink {
    /// The side whose knuckle it moves.
    pub side: SideName,
    /// End on the crank, mm.
    pub inner_mm: Point,
    /// End on the knuckle of that side, mm.
    pub outer_mm: Point,
    /// Bolt of the end on the crank; by default along the crank's axis.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub inner_bolt: Option<[f64; 3]>,
    /// Bolt of the end on the knuckle; by default along the kingpin.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub outer_bolt: Option<[f64; 3]>,
}

/// The axis of a crank, an idler or a handlebar.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Crank {
    /// A point on the axis, mm.
    pub point_mm: Point,
    /// Direction of the axis; a positive steer angle is right-handed about it.
    pub axis: [f64; 3],
}

impl Steering {
    /// The layout's word in the file.
    pub fn layout(&self) -> &'static str {
        match self {
            Steering::CentreCrank(_) => "centre_crank",
            Steering::Slider(_) => "slider",
            Steering::IdlerParallelogram(_) => "idler_parallelogram",
            Steering::CrossRod(_) => "cross_rod",
        }
    }

    /// The crank's axis; a slider has none.
    pub fn crank(&self) -> Option<&Crank> {
        match self {
            Steering::CentreCrank(s) => Some(&s.crank),
            Steering::IdlerParallelogram(s) => Some(&s.crank),
            Steering::CrossRod(s) => Some(&s.crank),
            Steering::Slider(_) => None,
        }
    }

    /// How the handlebar reaches the crank; nothing where the file leaves it direct.
    pub fn handlebar(&self) -> Option<&HandlebarInput> {
        match self {
            Steering::CentreCrank(s) => s.handlebar.as_ref(),
            Steering::IdlerParallelogram(s) => s.handlebar.as_ref(),
            Steering::CrossRod(s) => s.handlebar.as_ref(),
            Steering::Slider(_) => None,
        }
    }

    /// The same to write to.
    pub(crate) fn handlebar_mut(&mut self) -> Option<&mut HandlebarInput> {
        match self {
            Steering::CentreCrank(s) => s.handlebar.as_mut(),
            Steering::IdlerParallelogram(s) => s.handlebar.as_mut(),
            Steering::CrossRod(s) => s.handlebar.as_mut(),
            Steering::Slider(_) => None,
        }
    }

    /// The handlebar's drag link, where there is one.
    pub fn handlebar_link(&self) -> Option<&HandlebarLinkInput> {
        match self.handlebar()? {
            HandlebarInput::DragLink(link) => Some(link),
            HandlebarInput::Direct | HandlebarInput::Cable(_) => None,
        }
    }

    /// The cable drive, where there is one.
    pub fn cable(&self) -> Option<&CableInput> {
        match self.handlebar()? {
            HandlebarInput::Cable(cable) => Some(cable),
            HandlebarInput::Direct | HandlebarInput::DragLink(_) => None,
        }
    }

    /// The same to write to.
    pub(crate) fn cable_mut(&mut self) -> Option<&mut CableInput> {
        match self.handlebar_mut()? {
            HandlebarInput::Cable(cable) => Some(cable),
            HandlebarInput::Direct | HandlebarInput::DragLink(_) => None,
        }
    }

    /// The rod end on the left knuckle, mm.
    pub fn rod_outer_mm(&self) -> Point {
        match self {
            Steering::CentreCrank(s) => s.rod_outer_mm,
            Steering::Slider(s) => s.rod_outer_mm,
            Steering::IdlerParallelogram(s) => s.rod_outer_mm,
            Steering::CrossRod(s) => s.rod_outer_mm,
        }
    }

    /// The left rod's other end, mm; a cross rod has none of its own.
    pub fn rod_inner_mm(&self) -> Option<Point> {
        match self {
            Steering::CentreCrank(s) => Some(s.rod_inner_mm),
            Steering::Slider(s) => Some(s.rod_inner_mm),
            Steering::IdlerParallelogram(s) => Some(s.rod_inner_mm),
            Steering::CrossRod(_) => None,
        }
    }
}
