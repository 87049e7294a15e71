//! Views and fronts of a report, made from portraits and candidates.

use super::draft::Draft;
use super::portrait::{Portrait, Shown};
use crate::figure::words;
use crate::picture::Picture;
use crate::scatter::{Front, FrontGoal, FrontPoint};
use crate::view::{Aspect, Posed, ViewText, view};
use design::{Candidate, Role};

/// Aspects, names and headings of the upright views.
static UPRIGHT: [(Aspect, &str, &str); 4] = [
    (Aspect::Behind, "front_view", "Front view, seen from behind"),
    (Aspect::Above, "top_view", "Top view"),
    (
        Aspect::LeftCorner,
        "corner_view",
        "Side view of the left corner",
    ),
    (Aspect::LeftSide, "side_view", "Side view of the machine"),
];

/// Views of the upright machine, hardpoints numbered, the others under it.
pub(super) fn upright<'a>(portraits: &'a [&'a Portrait]) -> Vec<Draft<'a>> {
    upright_views(&UPRIGHT, portraits, true)
}

/// Views of the upright machines over one another, without numbers.
pub(super) fn outlines<'a>(portraits: &'a [&'a Portrait]) -> Vec<Draft<'a>> {
    upright_views(&UPRIGHT[..3], portraits, false)
}

fn upright_views<'a>(
    aspects: &'static [(Aspect, &'static str, &'static str)],
    portraits: &'a [&'a Portrait],
    numbered: bool,
) -> Vec<Draft<'a>> {
    let draft = |(aspect, name, title): &'static (Aspect, &'static str, &'static str)| {
        Draft::new(*name, move || {
            let shown: Vec<Shown> = portraits.iter().map(|p| p.upright()).collect();
            let text = ViewText {
                title,
                subtitle: "upright, steering straight",
                numbered: numbered && *aspect != Aspect::LeftSide,
            };
            Some(over_one_another(*aspect, portraits, &shown, &text))
        })
    };
    aspects.iter().map(draft).collect()
}

/// A pose of a portrait by the limit of lean.
type Moved = fn(&Portrait, f64) -> Option<Shown>;

/// Views of moved machines: aspect, name, heading, pose.
static MOVED: [(Aspect, &str, &str, Moved); 4] = [
    (
        Aspect::Behind,
        "leaned_front_view",
        "Leaned, from behind",
        |portrait, lean| portrait.leaned(lean),
    ),
    (
        Aspect::Above,
        "steered_top_view",
        "Steered, from above",
        |portrait, _| portrait.steered(0.0),
    ),
    (
        Aspect::Behind,
        "turn_front_view",
        "In a turn, from behind",
        |portrait, lean| portrait.steered(lean),
    ),
    (
        Aspect::Above,
        "turn_top_view",
        "In a turn, from above",
        |portrait, lean| portrait.steered(lean),
    ),
];

/// Views of one machine leaned, steered, and both.
pub(super) fn moved(portrait: &Portrait) -> Vec<Draft<'_>> {
    let lean = portrait.reach.lean_limit_deg;
    let draft = |(aspect, name, title, pose): &'static (Aspect, &str, &str, Moved)| {
        Draft::new(*name, move || {
            let shown = pose(portrait, lean)?;
            let text = ViewText {
                title,
                subtitle: &shown.text,
                numbered: false,
            };
            let posed = Posed {
                label: "",
                ink: portrait.ink,
                linkage: &portrait.linkage,
                pose: &shown.pose,
                centre_of_gravity: None,
                body: portrait.settings.parts.body.as_ref(),
                cable: portrait.settings.parts.cable.as_ref(),
            };
            Some(view(*aspect, &[posed], &text))
        })
    };
    MOVED.iter().map(draft).collect()
}

fn over_one_another(
    aspect: Aspect,
    portraits: &[&Portrait],
    shown: &[Shown],
    text: &ViewText,
) -> Picture {
    let posed: Vec<Posed> = portraits
        .iter()
        .zip(shown)
        .map(|(portrait, shown)| Posed {
            label: &portrait.label,
            ink: portrait.ink,
            linkage: &portrait.linkage,
            pose: &shown.pose,
            centre_of_gravity: portrait.centre_of_gravity(),
            body: portrait.settings.parts.body.as_ref(),
            cable: portrait.settings.parts.cable.as_ref(),
        })
        .collect();
    view(aspect, &posed, text)
}

/// A front of candidates for its pictures; `chosen` ones carry their number and colour.
pub(super) fn front(
    candidates: &[&Candidate],
    submitted: &Candidate,
    chosen: &[(usize, crate::ink::Ink)],
) -> Front {
    let goals = candidates.first().map_or(&[][..], |c| c.goals.as_slice());
    let value = |c: &Candidate| c.goals.iter().map(|g| g.value).collect::<Vec<_>>();
    Front {
        goals: goals
            .iter()
            .map(|g| FrontGoal {
                name: format!("{}{}", words(&g.quantity), super::values::built(g.at)),
                unit: g.unit.clone(),
                maximise: g.role == Role::Maximise,
            })
            .collect(),
        points: candidates
            .iter()
            .enumerate()
            .map(|(number, c)| FrontPoint {
                number,
                values: value(c),
                chosen: chosen.iter().find(|(n, _)| *n == number).map(|c| c.1),
            })
            .collect(),
        reference: value(submitted),
    }
}
