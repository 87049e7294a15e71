//! The one table of quantities, from which schema, help, documents and validation are made.

mod cables;
mod clearance;
mod effort;
mod limits;
mod loads;
mod poses;
mod ride;

use crate::{Over, OverKind, Quantity};

/// What there is to know about a quantity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct QuantityInfo {
    /// Which one.
    pub quantity: Quantity,
    /// The name in files, unit included.
    pub name: &'static str,
    /// Unit of the value.
    pub unit: Unit,
    /// What a positive value means.
    pub sign: &'static str,
    /// How poses and sides become one number.
    pub reduction: &'static str,
    /// The kinds of range that the quantity may be asked over.
    pub over: &'static [OverKind],
    /// The range that is meant when none is given.
    pub default_over: Over,
    /// What it is.
    pub definition: &'static str,
    /// Where its usual limit comes from.
    pub limit_origin: &'static str,
    /// Which way is usually the worse one.
    pub worse: Worse,
    /// May be held at a value by solving one coordinate: it needs the design pose only.
    pub holdable: bool,
    /// What it needs besides the hardpoints.
    pub needs: Needs,
}

/// A unit of the boundary.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    /// Millimetres.
    Millimetre,
    /// Metres.
    Metre,
    /// Degrees.
    Degree,
    /// Degrees per millimetre.
    DegreePerMillimetre,
    /// Newton metres.
    NewtonMetre,
    /// Newton metres per kilonewton.
    NewtonMetrePerKilonewton,
    /// Newton metres per degree.
    NewtonMetrePerDegree,
    /// Newtons.
    Newton,
    /// Kilograms.
    Kilogram,
    /// Multiples of standard gravity.
    Gravity,
    /// Metres per second.
    MetrePerSecond,
    /// A pure number.
    One,
}

impl Unit {
    /// The symbol to print behind a value; empty for a pure number.
    pub const fn symbol(self) -> &'static str {
        match self {
            Unit::Millimetre => "mm",
            Unit::Metre => "m",
            Unit::Degree => "°",
            Unit::DegreePerMillimetre => "°/mm",
            Unit::NewtonMetre => "N·m",
            Unit::NewtonMetrePerKilonewton => "N·m/kN",
            Unit::NewtonMetrePerDegree => "N·m/°",
            Unit::Newton => "N",
            Unit::Kilogram => "kg",
            Unit::Gravity => "g",
            Unit::MetrePerSecond => "m/s",
            Unit::One => "",
        }
    }
}

/// Which way a quantity usually gets worse; a job may ask for the other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Worse {
    /// Large values are worse.
    Larger,
    /// Small values are worse.
    Smaller,
    /// Neither: there is a value to aim at.
    Away,
}

/// What a quantity needs besides the hardpoints.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Needs {
    /// Nothing.
    Nothing,
    /// Mass and centre of gravity.
    Masses,
    /// Masses and a static rating of some joint.
    Ratings,
    /// Masses and the section of the rods.
    Rod,
    /// Masses and the section of the wishbones' legs.
    Legs,
    /// Masses and a stub axle.
    StubAxle,
    /// A limit of some joint, and no masses.
    JointLimits,
    /// Joints from a catalogue, and no masses.
    Joints,
    /// Sizes of the parts, and no masses.
    Body,
    /// Those and a box on the frame.
    Boxes,
    /// A cable drive, and no masses.
    Cable,
}

impl Needs {
    /// Mass and centre of gravity are needed.
    pub const fn masses(self) -> bool {
        !matches!(
            self,
            Needs::Nothing
                | Needs::JointLimits
                | Needs::Joints
                | Needs::Body
                | Needs::Boxes
                | Needs::Cable
        )
    }
}

const COUNT: usize = Quantity::ALL.len();

/// Every quantity, in the order of [`Quantity::ALL`].
pub static TABLE: &[QuantityInfo] = &ROWS;

const ROWS: [QuantityInfo; COUNT] = {
    let parts: [&[QuantityInfo]; 7] = [
        &poses::ROWS,
        &limits::ROWS,
        &effort::ROWS,
        &loads::ROWS,
        &ride::ROWS,
        &clearance::ROWS,
        &cables::ROWS,
    ];
    let mut rows = [poses::ROWS[0]; COUNT];
    let (mut part, mut i, mut count) = (0, 0, 0);
    while part < parts.len() {
        while i < parts[part].len() {
            rows[count] = parts[part][i];
            assert!(
                rows[count].quantity as usize == count,
                "the rows stand in the order of the enum"
            );
            (i, count) = (i + 1, count + 1);
        }
        (part, i) = (part + 1, 0);
    }
    assert!(count == COUNT, "one row per quantity");
    rows
};

const DESIGN: &[OverKind] = &[OverKind::Design];
const CASES: &[OverKind] = &[OverKind::Cases];
const TRAVEL: &[OverKind] = &[OverKind::Travel];
const LEAN: &[OverKind] = &[OverKind::Lean];
const REACH: &[OverKind] = &[OverKind::Reach];
const LEAN_OR_TRAVEL: &[OverKind] = &[OverKind::Lean, OverKind::Travel];
const LEAN_TRAVEL_OR_REACH: &[OverKind] = &[OverKind::Lean, OverKind::Travel, OverKind::Reach];
const LEAN_OR_REACH: &[OverKind] = &[OverKind::Lean, OverKind::Reach];
const REACH_OR_LEAN: &[OverKind] = &[OverKind::Reach, OverKind::Lean];
const REACH_LEAN_OR_TRAVEL: &[OverKind] = &[OverKind::Reach, OverKind::Lean, OverKind::Travel];
const DESIGN_OR_LEAN: &[OverKind] = &[OverKind::Design, OverKind::Lean];
const LEAN_OR_DESIGN: &[OverKind] = &[OverKind::Lean, OverKind::Design];
const DESIGN_OR_STEER: &[OverKind] = &[OverKind::Design, OverKind::Steer];

/// The first range of a kind, as it stands when none is given.
const fn usual(kinds: &'static [OverKind], quantity: Quantity) -> Over {
    match kinds[0] {
        OverKind::Design => Over::Design,
        // What is taken at the steering stop is taken upright unless asked otherwise.
        OverKind::Lean if at_stop(quantity) => Over::Lean([0.0, 0.0]),
        OverKind::Lean => Over::Lean([-12.0, 12.0]),
        OverKind::Travel => Over::Travel([-30.0, 30.0]),
        OverKind::Steer => Over::Steer([-30.0, 30.0]),
        OverKind::Reach => Over::Reach,
        OverKind::Cases => Over::Cases,
    }
}

/// Taken at the steering stop, at every lean of the range.
pub(crate) const fn at_stop(quantity: Quantity) -> bool {
    matches!(
        quantity,
        Quantity::TurningRadiusRear
            | Quantity::TurningRadiusKerb
            | Quantity::TurningRadiusWall
            | Quantity::TurningRadiusInner
            | Quantity::TurningCutIn
            | Quantity::WheelLock
            | Quantity::CrankTravel
            | Quantity::ParkingTorque
    )
}

/// Looks at all states of loading that share its poses by itself.
pub(crate) const fn over_states(quantity: Quantity) -> bool {
    matches!(
        quantity,
        Quantity::LiftAcceleration
            | Quantity::StandingShare
            | Quantity::ParkedShare
            | Quantity::BrakingLimit
            | Quantity::PitchOver
            | Quantity::LeanLockMoment
            | Quantity::RightingLocked
            | Quantity::RightingFree
            | Quantity::LeanStopSpeed
            | Quantity::LiftSpeed
    )
}

/// One row; the parts that most rows share are filled in.
const fn row(
    quantity: Quantity,
    unit: Unit,
    over: &'static [OverKind],
    worse: Worse,
    texts: [&'static str; 4],
) -> QuantityInfo {
    let [definition, sign, reduction, limit_origin] = texts;
    QuantityInfo {
        quantity,
        name: quantity.name(),
        unit,
        sign,
        reduction,
        over,
        default_over: usual(over, quantity),
        definition,
        limit_origin,
        worse,
        holdable: false,
        needs: Needs::Nothing,
    }
}
