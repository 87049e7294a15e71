//! A torus tyre on flat ground.
//!
//! Ring of radius R − r about the wheel centre, section r about the ring: the lowest point
//! of the ring lies along `d`, the direction in the wheel plane towards the ground, and the
//! contact is C = p − r·n with p = centre + (R − r)·d.

use crate::{Lane, V3, Wheel};

/// Ring and section radius, mm.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Tyre {
    pub ring: f64,
    pub section: f64,
}

impl Tyre {
    pub fn new(wheel: &Wheel) -> Tyre {
        Tyre {
            ring: wheel.radius - wheel.section_radius,
            section: wheel.section_radius,
        }
    }

    /// How far the tyre's lowest point lies below the wheel centre, measured along `n`, and
    /// the sine of the inclination and the cosine that it was made from.
    #[inline(always)]
    pub fn drop<L: Lane>(&self, axis: V3<L>, n: V3<L>) -> Drop<L> {
        let sine = axis.dot(n);
        let cosine = (L::splat(1.0) - sine * sine).sqrt();
        Drop {
            below: L::splat(self.ring) * cosine + L::splat(self.section),
            sine,
            cosine,
        }
    }

    /// Change of the drop's share of a height, given the rate of `axis·n`.
    #[inline(always)]
    pub fn lift_rate<L: Lane>(&self, drop: &Drop<L>, sine_rate: L) -> L {
        L::splat(self.ring) * drop.sine * sine_rate / drop.cosine
    }

    /// The contact point.
    #[inline(always)]
    pub fn contact<L: Lane>(&self, centre: V3<L>, axis: V3<L>, n: V3<L>, drop: &Drop<L>) -> V3<L> {
        let down = (axis.scale(drop.sine) - n).scale(L::splat(self.ring) / drop.cosine);
        centre + down - n.scale(L::splat(self.section))
    }
}

/// See [`Tyre::drop`].
#[derive(Clone, Copy)]
pub(crate) struct Drop<L> {
    pub below: L,
    pub sine: L,
    pub cosine: L,
}
