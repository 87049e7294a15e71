//! Views and fronts of a report, made from portraits and candidates.

use super::portrait::{Portrait, Shown};
use crate::figure::words;
use crate::picture::Picture;
use crate::scatter::{Front, FrontGoal, FrontPoint};
use crate::view::{Aspect, Posed, ViewText, view};
use design::{Candidate, Role};

/// Aspects, names and headings of the upright views.
const UPRIGHT: [(Aspect, &str, &str); 4] = [
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
pub(super) fn upright(portraits: &[&Portrait]) -> Vec<Picture> {
    upright_views(&UPRIGHT, portraits, true)
}

/// Views of the upright machines over one another, without numbers.
pub(super) fn outlines(portraits: &[&Portrait]) -> Vec<Picture> {
    upright_views(&UPRIGHT[..3], portraits, false)
}

fn upright_views(
    aspects: &[(Aspect, &str, &str)],
    portraits: &[&Portrait],
    numbered: bool,
) -> Vec<Picture> {
    let shown: Vec<Shown> = portraits.iter().map(|p| p.upright()).collect();
    let draw = |(aspect, name, title): &(Aspect, &str, &str)| {
        let text = ViewText {
            title,
            subtitle: "upright, steering straight",
            numbered: numbered && *aspect != Aspect::LeftSide,
        };
        over_one_another(*aspect, portraits, &shown, &text).named(*name)
    };
    aspects.iter().map(draw).collect()
}

/// Views of one machine leaned, steered, and both.
pub(super) fn moved(portrait: &Portrait) -> Vec<Picture> {
    let lean = portrait.assessment.reach.lean_limit_deg;
    let leaned = portrait.leaned(lean);
    let steered = portrait.steered(0.0);
    let both = portrait.steered(lean);
    let pictures = [
        (
            Aspect::Behind,
            ["leaned_front_view", "Leaned, from behind"],
            &leaned,
        ),
        (
            Aspect::Above,
            ["steered_top_view", "Steered, from above"],
            &steered,
        ),
        (
            Aspect::Behind,
            ["turn_front_view", "In a turn, from behind"],
            &both,
        ),
        (
            Aspect::Above,
            ["turn_top_view", "In a turn, from above"],
            &both,
        ),
    ];
    let draw = |(aspect, [name, title], shown): (Aspect, [&'static str; 2], &Option<Shown>)| {
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
        Some(view(aspect, &[posed], &text).named(name))
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
