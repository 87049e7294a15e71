//! Forces in the linkage and strength of its parts, over the load cases.

use super::{CASES, DESIGN, Needs, QuantityInfo, Unit, Worse, row};
use crate::Quantity as Q;

const SHEET: &str = "data sheet of the part";
const STRENGTH: &str = "published strength of the material; proof by someone who answers for it";
const MAGNITUDE: &str = "a magnitude, never negative";
const ALL: &str = "largest over the load cases, their turns and sides";

const fn needing(mut row: QuantityInfo, needs: Needs) -> QuantityInfo {
    row.needs = needs;
    row
}

const fn force(quantity: Q, unit: Unit, definition: &'static str) -> QuantityInfo {
    let texts = [definition, MAGNITUDE, ALL, SHEET];
    needing(
        row(quantity, unit, CASES, Worse::Larger, texts),
        Needs::Masses,
    )
}

const fn axle(
    quantity: Q,
    unit: Unit,
    worse: Worse,
    definition: &'static str,
    reduction: &'static str,
) -> QuantityInfo {
    let texts = [definition, MAGNITUDE, reduction, STRENGTH];
    needing(row(quantity, unit, CASES, worse, texts), Needs::StubAxle)
}

pub(super) const ROWS: [QuantityInfo; 15] = [
    force(
        Q::BallJointForce,
        Unit::Newton,
        "force on a ball joint of a wishbone",
    ),
    force(
        Q::RodForce,
        Unit::Newton,
        "force along a rod of the steering, push or pull",
    ),
    force(
        Q::WishboneLegForce,
        Unit::Newton,
        "force along a leg of a wishbone, push or pull, as if its legs were hinged at the ball joint",
    ),
    force(
        Q::PivotForce,
        Unit::Newton,
        "force on a pivot of a wishbone on the frame",
    ),
    force(
        Q::CouplingMoment,
        Unit::NewtonMetre,
        "moment about the hinge of a lower wishbone that the lean coupling carries",
    ),
    needing(
        force(
            Q::JointUse,
            Unit::One,
            "force on a joint as a part of its static rating",
        ),
        Needs::Ratings,
    ),
    needing(
        force(
            Q::RodBuckling,
            Unit::One,
            "push in a rod as a part of the load at which it buckles (Euler; Johnson where it is short)",
        ),
        Needs::Rod,
    ),
    needing(
        force(
            Q::LegBuckling,
            Unit::One,
            "push in a leg of a wishbone as a part of the load at which it buckles between pivot and ball joint (Euler; Johnson where it is short); what bends the leg is left out",
        ),
        Needs::Legs,
    ),
    axle(
        Q::StubAxleSafety,
        Unit::One,
        Worse::Smaller,
        "factor of safety of the stub axle against fatigue in the cycles of each load case (1000 at least), by the criterion it names",
        "smallest over the load cases, sides and shoulders; at most 1000",
    ),
    axle(
        Q::StubAxleYieldSafety,
        Unit::One,
        Worse::Smaller,
        "factor of safety of the stub axle against yield in the first cycle",
        "smallest over the load cases, sides and shoulders; at most 1000",
    ),
    axle(
        Q::StubAxleDamage,
        Unit::One,
        Worse::Larger,
        "Miner's sum of the stub axle over the cycles of all load cases; 1 is failure",
        "largest over the sides and shoulders",
    ),
    axle(
        Q::StubAxleCamber,
        Unit::Degree,
        Worse::Larger,
        "change of camber by bending of the stub axle",
        "largest magnitude over the load cases, their turns and sides",
    ),
    axle(
        Q::StubAxleToe,
        Unit::Degree,
        Worse::Larger,
        "change of toe by bending of the stub axle",
        "largest magnitude over the load cases, their turns and sides",
    ),
    needing(
        row(
            Q::StubAxleMass,
            Unit::Kilogram,
            DESIGN,
            Worse::Larger,
            [
                "mass of one stub axle, its sections without the boss",
                MAGNITUDE,
                "the value itself",
                "the maker's wish",
            ],
        ),
        Needs::StubAxle,
    ),
    needing(
        row(
            Q::LinkageMass,
            Unit::Kilogram,
            DESIGN,
            Worse::Larger,
            [
                "mass of the rods of the steering and, where their section is given, of the legs of all wishbones, between the joints' centres",
                MAGNITUDE,
                "the value itself, both sides",
                "the maker's wish",
            ],
        ),
        Needs::Rod,
    ),
];
