//! Views and fronts of a report, made from portraits and candidates.

use super::portrait::{Portrait, Shown};
use crate::figure::words;
use crate::picture::Picture;
use crate::scatter::{Front, FrontGoal, FrontPoint};
use crate::view::{Aspect, Posed, ViewText, view};
use design::{Candidate, Role};

/// Views of the upright machine from three sides, hardpoints numbered, the others under it.
pub(super) fn upright(portraits: &[&Portrait]) -> Vec<Picture> {
    let aspects = [
        (Aspect::Behind, "Front view, seen from behind"),
        (Aspect::Above, "Top view"),
        (Aspect::LeftCorner, "Side view of the left corner"),
        (Aspect::LeftSide, "Side view of the machine"),
    ];
    let shown: Vec<Shown> = portraits.iter().map(|p| p.upright()).collect();
    aspects
        .into_iter()
        .map(|(aspect, title)| {
            let text = ViewText {
                title,
                subtitle: "upright, steering straight",
                numbered: aspect != Aspect::LeftSide,
            };
            over_one_another(aspect, portraits, &shown, &text)
        })
        .collect()
}

/// Views of the upright machines over one another, without numbers.
pub(super) fn outlines(portraits: &[&Portrait]) -> Vec<Picture> {
    let aspects = [
        (Aspect::Behind, "Front view, seen from behind"),
        (Aspect::Above, "Top view"),
        (Aspect::LeftCorner, "Side view of the left corner"),
    ];
    let shown: Vec<Shown> = portraits.iter().map(|p| p.upright()).collect();
    let draw = |(aspect, title): (Aspect, &'static str)| {
        let text = ViewText {
            title,
            subtitle: "upright, steering straight",
            numbered: false,
        };
        over_one_another(aspect, portraits, &shown, &text)
    };
    aspects.into_iter().map(draw).collect()
}

/// Views of one machine leaned, steered, and both.
pub(super) fn moved(portrait: &Portrait) -> Vec<Picture> {
    let lean = portrait.assessment.reach.lean_limit_deg;
    let leaned = portrait.leaned(lean);
    let steered = portrait.steered(0.0);
    let both = portrait.steered(lean);
    let pictures = [
        (Aspect::Behind, "Leaned, from behind", &leaned),
        (Aspect::Above, "Steered, from above", &steered),
        (Aspect::Behind, "In a turn, from behind", &both),
        (Aspect::Above, "In a turn, from above", &both),
    ];
    let draw = |(aspect, title, shown): (Aspect, &'static str, &Option<Shown>)| {
        let shown = shown.as_ref()?;
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
        };
        Some(view(aspect, &[posed], &text))
    };
    pictures.into_iter().filter_map(draw).collect()
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
                name: words(&g.quantity),
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
