//! Gaps between the parts of a machine in a pose, and between them and the ground.
//!
//! Wishbone legs, rods and links are capsules, tyres and rims tori, hubs and brake discs short
//! cylinders, calipers and what stands on the frame boxes. Parts that share a joint, that are
//! fixed to one another, or that a box carries are not measured against each other.

mod body;
mod outline;
mod part;
mod posed;

pub use body::{Body, Carries, Drum, FrameBox, Rim};
pub use outline::{Outline, outlines};
pub use part::{Pair, Part};

use crate::Quantity;
use crate::candidate::SIDES;
use crate::shapes::{Block, Solid};
use kinematics::{Linkage, Pose, Side, V3};
use posed::{Posed, meet};

/// Which gaps are meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Gaps {
    /// Between any two parts, the ground apart.
    All,
    /// At a wheel.
    Wheel,
    /// At a rod or link of the steering.
    Rod,
    /// At a box.
    Box,
    /// Above the ground.
    Ground,
}

impl Gaps {
    pub const ALL: [Gaps; 5] = [Gaps::All, Gaps::Wheel, Gaps::Rod, Gaps::Box, Gaps::Ground];

    /// The gaps that a quantity is the smallest of.
    pub fn of(quantity: Quantity) -> Option<Gaps> {
        Some(match quantity {
            Quantity::Clearance => Gaps::All,
            Quantity::WheelClearance => Gaps::Wheel,
            Quantity::RodClearance => Gaps::Rod,
            Quantity::BoxClearance => Gaps::Box,
            Quantity::GroundClearance => Gaps::Ground,
            _ => return None,
        })
    }
}

/// The smallest gap that was found, and where; nothing is found above a cap.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Gap {
    pub mm: f64,
    pub pair: Option<Pair>,
}

impl Gap {
    /// Nothing found below this.
    pub fn capped(mm: f64) -> Gap {
        Gap { mm, pair: None }
    }

    fn see(&mut self, (a, one): &(Part, Solid), (b, other): &(Part, Solid)) {
        if one.bound(other) >= self.mm {
            return;
        }
        let gap = one.gap(other);
        if gap < self.mm {
            *self = Gap {
                mm: gap,
                pair: Some([*a, *b]),
            };
        }
    }

    fn above_ground(&mut self, (part, solid): &(Part, Solid), pose: &Pose<f64>) {
        let gap = solid.lowest(pose.up) + pose.height;
        if gap < self.mm {
            *self = Gap {
                mm: gap,
                pair: Some([*part, Part::Ground]),
            };
        }
    }
}

/// The body of one machine, with what the poses share.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Fitted<'a> {
    body: &'a Body,
    linkage: &'a Linkage,
    calipers: [Option<Fixed>; 2],
    /// Which of [`FREE_PAIRS`] end on one bolt.
    rods_meet: [bool; 3],
}

/// Boxes that in the design pose overlap something that they do not carry: index of the box, the
/// part that reaches deepest into it, and the gap, below 0, mm.
pub fn boxes_in_the_way(linkage: &Linkage, body: &Body) -> Vec<(usize, Part, f64)> {
    let fitted = Fitted::new(body, linkage);
    let posed = fitted.posed(linkage.design_pose());
    let worst = |(i, (held, part)): (usize, (&FrameBox, (Part, Solid)))| {
        let mut gap = Gap::capped(0.0);
        fitted.at_box(&posed, Gaps::Box, held, &part, &mut gap);
        gap.above_ground(&part, linkage.design_pose());
        let other = |[a, b]: Pair| if b == Part::Ground { b } else { a };
        gap.pair.map(|pair| (i, other(pair), gap.mm))
    };
    fitted.boxes().enumerate().filter_map(worst).collect()
}

/// A box fixed in a knuckle, in that knuckle's coordinates.
#[derive(Clone, Copy, Debug)]
struct Fixed {
    from_lower: [f64; 3],
    axes: [[f64; 3]; 3],
    half: [f64; 3],
}

/// Pairs of the rods that move against each other.
const FREE_PAIRS: [[usize; 2]; 3] = [[0, 1], [0, 2], [1, 2]];
/// Ends of rods closer than this in the design pose share a bolt, mm.
const ONE_BOLT: f64 = 1.0;

impl<'a> Fitted<'a> {
    pub fn new(body: &'a Body, linkage: &'a Linkage) -> Fitted<'a> {
        let machine = linkage.machine();
        let caliper = |side: Side| {
            let block = match side {
                Side::Left => body.caliper?,
                Side::Right => body.caliper?.mirrored(),
            };
            let lower = machine.corner(side).lower.ball_joint;
            let own = |v: V3<f64>| linkage.knuckle_coordinates(side, v);
            Some(Fixed {
                from_lower: own(block.centre - lower),
                axes: block.axes.map(own),
                half: block.half,
            })
        };
        let mut fitted = Fitted {
            body,
            linkage,
            calipers: SIDES.map(caliper),
            rods_meet: [false; 3],
        };
        let posed = fitted.posed(linkage.design_pose());
        let free = posed.free_rods();
        fitted.rods_meet = FREE_PAIRS.map(|[a, b]| {
            let both = free[a].zip(free[b]);
            both.is_some_and(|(one, other)| meet(one, other, ONE_BOLT))
        });
        fitted
    }

    /// The smallest gap of a kind below a cap.
    pub fn smallest(&self, pose: &Pose<f64>, gaps: Gaps, cap: f64) -> Gap {
        let mut gap = Gap::capped(cap);
        let posed = self.posed(pose);
        match gaps {
            Gaps::Ground => self.ground(&posed, pose, &mut gap),
            _ => self.parts(&posed, gaps, &mut gap),
        }
        gap
    }

    /// The gap at which two parts stop steering and lean, mm.
    pub fn least(&self) -> f64 {
        self.body.least_gap
    }

    fn boxes(&self) -> impl Iterator<Item = (&'a FrameBox, (Part, Solid))> {
        let all = self.body.boxes.iter().enumerate();
        all.map(|(i, b)| (b, (Part::Box(i), Solid::Block(b.block))))
    }

    fn ground(&self, posed: &Posed, pose: &Pose<f64>, gap: &mut Gap) {
        let legs = posed.legs.iter().flatten();
        for part in legs.chain(posed.links()).chain(posed.rods()) {
            gap.above_ground(part, pose);
        }
        for (_, part) in self.boxes() {
            gap.above_ground(&part, pose);
        }
    }

    fn parts(&self, posed: &Posed, gaps: Gaps, gap: &mut Gap) {
        let all = gaps == Gaps::All;
        for side in SIDES {
            let legs = &posed.legs[side as usize];
            if all || gaps == Gaps::Wheel {
                for wheel in posed.wheel(side) {
                    for part in legs.iter().chain(posed.links_of(side)) {
                        gap.see(wheel, part);
                    }
                }
            }
            if all || gaps == Gaps::Wheel || gaps == Gaps::Rod {
                for wheel in posed.wheel(side) {
                    for rod in posed.rods() {
                        gap.see(wheel, rod);
                    }
                }
            }
            if all {
                let [lower, upper] = [&legs[..2], &legs[2..]];
                for part in upper {
                    for other in lower.iter().chain(posed.links_of(side)) {
                        gap.see(part, other);
                    }
                }
            }
            if all || gaps == Gaps::Rod {
                for rod in posed.rods() {
                    for part in legs.iter().chain(posed.links_of(side)) {
                        gap.see(rod, part);
                    }
                }
            }
        }
        if all || gaps == Gaps::Rod {
            let free = posed.free_rods();
            for ([a, b], meets) in FREE_PAIRS.into_iter().zip(self.rods_meet) {
                if let (Some(one), Some(other), false) = (free[a], free[b], meets) {
                    gap.see(one, other);
                }
            }
        }
        for (held, part) in self.boxes() {
            self.at_box(posed, gaps, held, &part, gap);
        }
    }

    fn at_box(
        &self,
        posed: &Posed,
        gaps: Gaps,
        held: &FrameBox,
        part: &(Part, Solid),
        gap: &mut Gap,
    ) {
        let (any, carries) = (matches!(gaps, Gaps::All | Gaps::Box), held.carries);
        if any || gaps == Gaps::Wheel {
            for wheel in SIDES.into_iter().flat_map(|side| posed.wheel(side)) {
                gap.see(wheel, part);
            }
            if !carries.rear_wheel {
                posed.rear.iter().for_each(|rear| gap.see(rear, part));
            }
        }
        if (any || gaps == Gaps::Rod) && !carries.steering {
            for rod in posed.rods() {
                gap.see(rod, part);
            }
        }
        if !any {
            return;
        }
        for legs in &posed.legs {
            let [lower, upper] = [&legs[..2], &legs[2..]];
            for (own, carried) in [(lower, carries.lower), (upper, carries.upper)] {
                if !carried {
                    own.iter().for_each(|leg| gap.see(leg, part));
                }
            }
        }
        if !carries.coupling {
            posed.links().for_each(|link| gap.see(link, part));
        }
    }

    /// A box and its mirror image, for a place that is brought back to the other side.
    pub fn twin(&self, part: Part) -> Part {
        match part {
            Part::Box(i) => Part::Box(self.body.twin(i).unwrap_or(i)),
            other => other,
        }
    }

    fn caliper(&self, pose: &Pose<f64>, side: Side) -> Option<Solid> {
        let fixed = self.calipers[side as usize].as_ref()?;
        let corner = pose.corner(side);
        Some(Solid::Block(Block {
            centre: corner.lower + corner.knuckle_vector(fixed.from_lower),
            axes: fixed.axes.map(|axis| corner.knuckle_vector(axis)),
            half: fixed.half,
        }))
    }
}

#[cfg(test)]
mod tests;
