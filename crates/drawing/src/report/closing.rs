//! Limits of the model and cautions: at the head in short, at the end in full.

use super::html::Html;
use design::{Assessment, CAUTIONS, NOTES};

/// The short caution that stands before any number.
pub(super) fn care() -> Html {
    let text = "These are computed figures of a rigid model with nominal beam stress, no proof \
                of strength, stability or braking. Local rules and licensed practice go before them; see the \
                cautions at the end.";
    Html::within("div", "care", Html::element("p", text))
}

/// What the model leaves out and what a builder must keep in mind.
pub(super) fn closing(assessment: Option<&Assessment>) -> Html {
    let mut out = Html::default();
    let notes = assessment.map(|a| a.notes.as_slice()).unwrap_or_default();
    let cautions = assessment
        .map(|a| a.cautions.as_slice())
        .unwrap_or_default();
    out.subheading("What the model leaves out");
    match notes {
        [] => out.list(NOTES),
        notes => out.list(notes),
    }
    out.subheading("Before anything is built or ridden");
    let mut care = Html::default();
    match cautions {
        [] => care.list(CAUTIONS),
        cautions => care.list(cautions),
    }
    out.push(Html::within("div", "care", care));
    out.subheading("Axes and signs");
    out.list([
        "x points forward, y to the left, z up (ISO 8855); the origin lies on the ground midway \
         between the front contacts of the drawn pose.",
        "Lean to the right, steer to the left and toe-in are positive; the crank angle is \
         right-handed about the crank's own axis, whatever the wheels then do.",
        "Mean travel is positive when the wheels rise and the frame sinks; pitch is positive nose \
         down.",
    ]);
    out
}
