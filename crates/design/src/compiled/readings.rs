//! Answers of the mechanics as quantities on the wire.

use super::asks::unit;
use crate::answer::{Limit, QuantityValue, Role, WorstPose};
use crate::convert::{joint_name, over_wire, part_name, side_name, stop_text};
use crate::vehicle::Vehicle;
use mechanics::{Answer, Ask, OverKind, Where};

/// A quantity with its place, limit and margin.
pub(crate) fn reading(
    ask: &Ask,
    answer: &Answer,
    role: Role,
    limit: Option<Limit>,
    vehicle: &Vehicle,
) -> QuantityValue {
    let value = (answer.shortfall < 1.0).then_some(answer.value);
    let margin = limit
        .as_ref()
        .zip(value)
        .and_then(|(limit, value)| margin(limit, value));
    QuantityValue {
        quantity: ask.quantity.name().to_owned(),
        role,
        value,
        unit: unit(ask.quantity).to_owned(),
        over: over_wire(ask.over),
        worst: value.and_then(|_| worst(ask, &answer.worst)),
        between: value
            .and(answer.worst.between)
            .map(|pair| pair.map(|part| part_name(part, vehicle))),
        state: value
            .and(answer.worst.state)
            .filter(|_| !vehicle.loadings.is_empty())
            .map(|state| vehicle.state_name(state).to_owned()),
        cause: answer.worst.stop.map(|stop| stop_text(stop, vehicle)),
        limit,
        margin,
        shortfall: answer.shortfall,
        at: None,
        as_drawn: None,
    }
}

impl QuantityValue {
    /// Puts another value in, with its margin.
    pub(super) fn set(&mut self, value: Option<f64>) {
        self.value = value;
        let both = self.limit.as_ref().zip(value);
        self.margin = both.and_then(|(limit, value)| margin(limit, value));
    }
}

/// Distance to the nearer limit, negative where it is broken.
fn margin(limit: &Limit, value: f64) -> Option<f64> {
    let below = limit.at_most.map(|high| high - value);
    let above = limit.at_least.map(|low| value - low);
    match (below, above) {
        (Some(a), Some(b)) => Some(a.min(b)),
        (one, other) => one.or(other),
    }
}

/// The pose of a value; nothing for a value of the design pose that belongs to no side.
fn worst(ask: &Ask, place: &Where) -> Option<WorstPose> {
    let whole = ask.over.kind() == OverKind::Design
        && place.side.is_none()
        && place.stop.is_none()
        && place.state.is_none();
    (!whole).then(|| WorstPose {
        lean_deg: place.lean_deg,
        steer_deg: place.steer_deg,
        travel_mm: place.travel_mm,
        side: place.side.map(side_name),
        joint: place.joint.map(joint_name),
        load_case: place.case.map(|i| i as u32),
        loading: place.state.map(|i| i as u32),
        axle_spot: place.spot.map(|i| i as u32),
    })
}
