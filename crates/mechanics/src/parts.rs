//! Parts that carry load, and what loads them.

use crate::loads::LoadCase;
use crate::strength::{StubAxle, Tube};
use crate::{Body, CableDrive, Loading, Needs, Springs};

/// Load cases and the parts that they load.
#[derive(Clone, Debug, PartialEq)]
pub struct Parts {
    /// The load cases.
    pub cases: Vec<LoadCase>,
    /// What the joints may carry.
    pub ratings: Ratings,
    /// The bars whose strength is looked at.
    pub bars: Bars,
    /// Other states of loading beside [`crate::Fittings::masses`]: empty, one passenger, …
    pub states: Vec<Loading>,
    /// What carries the front of the frame; with them a state's mean travel follows its weight.
    pub springs: Option<Springs>,
    /// The cable drive between handlebar and steering.
    pub cable: Option<CableDrive>,
    /// Slope of the parking ground, degrees.
    pub slope_deg: f64,
    /// Half-cones and misalignments that the joints of a side allow, degrees: lower and upper ball
    /// joint, inner and outer rod end. They go before the settings' general limits.
    pub joint_limits_deg: [Option<f64>; 4],
    /// Mass of all joints, kg, where they are chosen from a catalogue.
    pub joints_mass_kg: Option<f64>,
    /// Sizes of all parts and boxes on the frame, for clearances.
    pub body: Option<Body>,
}

/// Bars of the front end, as far as they are given.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Bars {
    /// The stub axle of each front wheel.
    pub stub_axle: Option<StubAxle>,
    /// Section and material of the rods of the steering.
    pub rod: Option<Tube>,
    /// Section and material of the wishbones' legs.
    pub legs: Option<Tube>,
}

impl Parts {
    /// What a quantity needs besides masses is there.
    pub fn give(&self, needs: Needs) -> bool {
        match needs {
            Needs::Nothing | Needs::Masses => true,
            Needs::Ratings => self.ratings.any(),
            Needs::Rod => self.bars.rod.is_some(),
            Needs::Legs => self.bars.legs.is_some(),
            Needs::StubAxle => self.bars.stub_axle.is_some(),
            Needs::JointLimits => self.joint_limits_deg.iter().any(Option::is_some),
            Needs::Joints => self.joints_mass_kg.is_some(),
            Needs::Body => self.body.is_some(),
            Needs::Boxes => self.body.as_ref().is_some_and(|b| !b.boxes.is_empty()),
            Needs::Cable => self.cable.is_some(),
        }
    }
}

impl Default for Parts {
    fn default() -> Self {
        Parts {
            cases: Vec::new(),
            ratings: Ratings::default(),
            bars: Bars::default(),
            states: Vec::new(),
            springs: None,
            cable: None,
            slope_deg: 10.0,
            joint_limits_deg: [None; 4],
            joints_mass_kg: None,
            body: None,
        }
    }
}

/// Static load ratings of the joints from their data sheets, N.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Ratings {
    /// Lower ball joint.
    pub lower_ball: Option<f64>,
    /// Upper ball joint.
    pub upper_ball: Option<f64>,
    /// Rod ends.
    pub rod_end: Option<f64>,
    /// Each pivot of a wishbone.
    pub pivot: Option<f64>,
}

impl Ratings {
    /// A rating is given.
    pub fn any(&self) -> bool {
        [self.lower_ball, self.upper_ball, self.rod_end, self.pivot]
            .iter()
            .any(Option::is_some)
    }
}
