//! The solids of a machine in one pose.

use super::{Fitted, Part};
use crate::Joint;
use crate::candidate::SIDES;
use crate::shapes::{Drum, Ring, Segment, Solid};
use kinematics::{Pose, Side, V3, Wheel};

/// Most parts of a wheel: tyre, spokes, rim, hub, brake disc, caliper.
const WHEEL: usize = 6;
/// Half of the thickness of the spokes' plane, mm.
const SPOKES: f64 = 1.0;
/// Most rods and links of a steering.
const RODS: usize = 4;

type Named = (Part, Solid);

/// Every solid but the boxes; lists that may be shorter hold `None` at their ends.
#[derive(Clone, Copy, Debug)]
pub(super) struct Posed {
    /// Per side: lower front, lower rear, upper front, upper rear.
    pub legs: [[Named; 4]; 2],
    wheels: [[Option<Named>; WHEEL]; 2],
    rods: [Option<Named>; RODS],
    links: [Option<Named>; 2],
    /// Tyre and spokes.
    pub rear: [Named; 2],
}

impl Posed {
    pub fn wheel(&self, side: Side) -> impl Iterator<Item = &Named> {
        self.wheels[side as usize].iter().flatten()
    }

    pub fn rods(&self) -> impl Iterator<Item = &Named> {
        self.rods.iter().flatten()
    }

    pub fn links(&self) -> impl Iterator<Item = &Named> {
        self.links.iter().flatten()
    }

    pub fn links_of(&self, side: Side) -> impl Iterator<Item = &Named> {
        self.links[side as usize].iter()
    }

    /// Rods that move against each other: the outer ones and the handlebar's link, without the
    /// centre link that carries both rods.
    pub fn free_rods(&self) -> [Option<&Named>; 3] {
        [0, 1, 3].map(|i| self.rods[i].as_ref())
    }
}

/// Two rods have an end in one place.
pub(super) fn meet((_, one): &Named, (_, other): &Named, within: f64) -> bool {
    let ends = |solid: &Solid| match solid {
        Solid::Capsule(s, _) => [s.from, s.to],
        _ => [V3::new(f64::INFINITY, 0.0, 0.0); 2],
    };
    let others = ends(other);
    let near = |a: V3<f64>| others.iter().any(|b| (a - *b).norm() < within);
    ends(one).into_iter().any(near)
}

impl Fitted<'_> {
    pub(super) fn posed(&self, pose: &Pose<f64>) -> Posed {
        let (body, linkage) = (self.body, self.linkage);
        let machine = linkage.machine();
        let rod = |part, [a, b]: [V3<f64>; 2]| {
            let solid = Solid::Capsule(Segment::new(a, b), body.rod_radius);
            Some((part, solid))
        };
        let own = |side: Side| {
            let corner = pose.corner(side);
            [corner.rod_inner, corner.rod_outer]
        };
        let handlebar = linkage
            .handlebar_link(pose)
            .and_then(|ends| rod(Part::HandlebarLink, ends));
        let rods = match &pose.drag {
            Some(drag) => [
                rod(Part::CrossRod, own(Side::Left)),
                rod(Part::DragLink, [drag.inner, drag.outer]),
                None,
                handlebar,
            ],
            None => [
                rod(Part::Rod(Side::Left), own(Side::Left)),
                rod(Part::Rod(Side::Right), own(Side::Right)),
                linkage
                    .centre_link(pose)
                    .and_then(|ends| rod(Part::CentreLink, ends)),
                handlebar,
            ],
        };
        let links = linkage.rocker_links(pose);
        Posed {
            legs: SIDES.map(|side| self.legs(pose, side)),
            wheels: SIDES.map(|side| self.wheel(pose, side)),
            rods,
            links: SIDES.map(|side| {
                let [foot, end] = links?[side as usize];
                let solid = Solid::Capsule(Segment::new(foot, end), body.link_radius);
                Some((Part::RockerLink(side), solid))
            }),
            rear: {
                let rear = &machine.rear;
                let [tyre, spokes] = tyre_and_spokes(rear, rear.centre, rear.axis);
                [(Part::RearTyre, tyre), (Part::RearSpokes, spokes)]
            },
        }
    }

    fn legs(&self, pose: &Pose<f64>, side: Side) -> [Named; 4] {
        let drawn = self.linkage.machine().corner(side);
        let corner = pose.corner(side);
        let leg = |joint, pivot: V3<f64>, ball: V3<f64>| {
            let solid = Solid::Capsule(Segment::new(pivot, ball), self.body.leg_radius);
            (Part::Leg(side, joint), solid)
        };
        let (lower, upper) = (&drawn.lower, &drawn.upper);
        [
            leg(Joint::LowerFrontPivot, lower.front_pivot, corner.lower),
            leg(Joint::LowerRearPivot, lower.rear_pivot, corner.lower),
            leg(Joint::UpperFrontPivot, upper.front_pivot, corner.upper),
            leg(Joint::UpperRearPivot, upper.rear_pivot, corner.upper),
        ]
    }

    fn wheel(&self, pose: &Pose<f64>, side: Side) -> [Option<Named>; WHEEL] {
        let wheel = &self.linkage.machine().corner(side).wheel;
        let corner = pose.corner(side);
        let (centre, axis) = (corner.centre, corner.axis);
        let torus = |radius: f64, section: f64| {
            let ring = Ring {
                centre,
                axis,
                radius: radius - section,
            };
            Solid::Torus(ring, section)
        };
        let outward = crate::set_up::outward(side);
        let drum = |d: super::Drum| {
            let [from, to] = d.along;
            Solid::Drum(Drum {
                centre: centre + axis.scale(0.5 * outward * (from + to)),
                axis,
                radius: d.radius,
                half: 0.5 * (to - from),
            })
        };
        let body = self.body;
        let rim = body.rim.map(|rim| torus(rim.radius, rim.section_radius));
        let [tyre, spokes] = tyre_and_spokes(wheel, centre, axis);
        [
            Some((Part::Tyre(side), tyre)),
            Some((Part::Spokes(side), spokes)),
            rim.map(|solid| (Part::Rim(side), solid)),
            body.hub.map(|d| (Part::Hub(side), drum(d))),
            body.disc.map(|d| (Part::BrakeDisc(side), drum(d))),
            self.caliper(pose, side)
                .map(|solid| (Part::Caliper(side), solid)),
        ]
    }
}

/// A tyre, and the plane of the spokes inside it.
fn tyre_and_spokes(wheel: &Wheel, centre: V3<f64>, axis: V3<f64>) -> [Solid; 2] {
    let ring = Ring {
        centre,
        axis,
        radius: wheel.radius - wheel.section_radius,
    };
    let spokes = Drum {
        centre,
        axis,
        radius: ring.radius,
        half: SPOKES,
    };
    [
        Solid::Torus(ring, wheel.section_radius),
        Solid::Drum(spokes),
    ]
}
