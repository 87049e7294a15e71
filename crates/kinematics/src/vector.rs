//! Three-vectors over a lane type.

use crate::Lane;
use core::ops::{Add, Neg, Sub};

/// A point (mm) or direction in x forward, y left, z up.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct V3<L> {
    /// Forward.
    pub x: L,
    /// Left.
    pub y: L,
    /// Up.
    pub z: L,
}

impl<L> V3<L> {
    /// The vector (x, y, z).
    #[inline(always)]
    pub const fn new(x: L, y: L, z: L) -> Self {
        V3 { x, y, z }
    }
}

impl<L: Lane> V3<L> {
    /// The same vector in every lane.
    #[inline(always)]
    pub fn splat(v: V3<f64>) -> Self {
        V3::new(L::splat(v.x), L::splat(v.y), L::splat(v.z))
    }
    /// The vector of lane `index`.
    #[inline(always)]
    pub fn get(self, index: usize) -> V3<f64> {
        V3::new(self.x.get(index), self.y.get(index), self.z.get(index))
    }
    /// Scalar product.
    #[inline(always)]
    pub fn dot(self, o: Self) -> L {
        self.x * o.x + self.y * o.y + self.z * o.z
    }
    /// Vector product, right-handed.
    #[inline(always)]
    pub fn cross(self, o: Self) -> Self {
        V3::new(
            self.y * o.z - self.z * o.y,
            self.z * o.x - self.x * o.z,
            self.x * o.y - self.y * o.x,
        )
    }
    /// Scaled by `k`.
    #[inline(always)]
    pub fn scale(self, k: L) -> Self {
        V3::new(self.x * k, self.y * k, self.z * k)
    }
    /// Squared length.
    #[inline(always)]
    pub fn norm2(self) -> L {
        self.dot(self)
    }
    /// Length.
    #[inline(always)]
    pub fn norm(self) -> L {
        self.norm2().sqrt()
    }
    /// Unit vector along this one; not-a-number for a zero vector.
    #[inline(always)]
    pub fn unit(self) -> Self {
        self.scale(L::splat(1.0) / self.norm())
    }
    /// The part perpendicular to the unit vector `k`.
    #[inline(always)]
    pub fn across(self, k: Self) -> Self {
        self - k.scale(self.dot(k))
    }
    /// `yes` where the mask holds, else `no`.
    #[inline(always)]
    pub fn select(mask: L::Mask, yes: Self, no: Self) -> Self {
        V3::new(
            L::select(mask, yes.x, no.x),
            L::select(mask, yes.y, no.y),
            L::select(mask, yes.z, no.z),
        )
    }
    /// Rotated by the angle of cosine `c` and sine `s` about the unit vector `k`
    /// (Rodrigues' formula).
    #[inline(always)]
    pub fn rotated(self, k: Self, c: L, s: L) -> Self {
        let along = k.scale(self.dot(k));
        along + (self - along).scale(c) + k.cross(self).scale(s)
    }
}

impl V3<f64> {
    /// Reflected in the plane y = 0.
    pub fn mirrored(self) -> Self {
        V3::new(self.x, -self.y, self.z)
    }
    /// All three numbers are finite.
    pub fn is_finite(self) -> bool {
        self.x.is_finite() && self.y.is_finite() && self.z.is_finite()
    }
    /// As an array [x, y, z].
    pub fn to_array(self) -> [f64; 3] {
        [self.x, self.y, self.z]
    }
}

impl From<[f64; 3]> for V3<f64> {
    fn from(a: [f64; 3]) -> Self {
        V3::new(a[0], a[1], a[2])
    }
}

impl<L: Lane> Add for V3<L> {
    type Output = Self;
    #[inline(always)]
    fn add(self, o: Self) -> Self {
        V3::new(self.x + o.x, self.y + o.y, self.z + o.z)
    }
}

impl<L: Lane> Sub for V3<L> {
    type Output = Self;
    #[inline(always)]
    fn sub(self, o: Self) -> Self {
        V3::new(self.x - o.x, self.y - o.y, self.z - o.z)
    }
}

impl<L: Lane> Neg for V3<L> {
    type Output = Self;
    #[inline(always)]
    fn neg(self) -> Self {
        V3::new(-self.x, -self.y, -self.z)
    }
}
