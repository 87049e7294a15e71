//! The number a kernel is written over: one `f64` now, several side by side later.
//!
//! Only `+ − × ÷ √`, comparisons and selection, so that every lane width gives equal bits.

use core::ops::{Add, Div, Mul, Neg, Sub};

/// A number, or a row of numbers worked on side by side.
pub trait Lane:
    Copy
    + Add<Output = Self>
    + Sub<Output = Self>
    + Mul<Output = Self>
    + Div<Output = Self>
    + Neg<Output = Self>
{
    /// How many numbers stand side by side.
    const WIDTH: usize;
    /// One truth value per number.
    type Mask: Copy;

    /// The same number in every place.
    fn splat(value: f64) -> Self;
    /// The number in place `index` (`index < WIDTH`).
    fn get(self, index: usize) -> f64;
    /// Replaces the number in place `index` (`index < WIDTH`).
    fn set(&mut self, index: usize, value: f64);
    /// Square root, correctly rounded; not-a-number below zero.
    fn sqrt(self) -> Self;
    /// Absolute value.
    fn abs(self) -> Self;
    /// `self < other`, place by place; false for not-a-number.
    fn less(self, other: Self) -> Self::Mask;
    /// `yes` where the mask holds, else `no`.
    fn select(mask: Self::Mask, yes: Self, no: Self) -> Self;
    /// Both masks hold.
    fn and(a: Self::Mask, b: Self::Mask) -> Self::Mask;
    /// The mask does not hold.
    fn not(mask: Self::Mask) -> Self::Mask;
    /// Holds in every place.
    fn all(mask: Self::Mask) -> bool;
    /// Holds in place `index`.
    fn holds(mask: Self::Mask, index: usize) -> bool;
    /// The same truth value in every place.
    fn mask(value: bool) -> Self::Mask;

    /// The larger number; `other` where `self` is not a number.
    fn max(self, other: Self) -> Self {
        Self::select(other.less(self), self, other)
    }
    /// The smaller number; `other` where `self` is not a number.
    fn min(self, other: Self) -> Self {
        Self::select(self.less(other), self, other)
    }
}

impl Lane for f64 {
    const WIDTH: usize = 1;
    type Mask = bool;

    #[inline(always)]
    fn splat(value: f64) -> Self {
        value
    }
    #[inline(always)]
    fn get(self, _: usize) -> f64 {
        self
    }
    #[inline(always)]
    fn set(&mut self, _: usize, value: f64) {
        *self = value;
    }
    #[inline(always)]
    fn sqrt(self) -> Self {
        f64::sqrt(self)
    }
    #[inline(always)]
    fn abs(self) -> Self {
        f64::abs(self)
    }
    #[inline(always)]
    fn less(self, other: Self) -> bool {
        self < other
    }
    #[inline(always)]
    fn select(mask: bool, yes: Self, no: Self) -> Self {
        if mask { yes } else { no }
    }
    #[inline(always)]
    fn and(a: bool, b: bool) -> bool {
        a & b
    }
    #[inline(always)]
    fn not(mask: bool) -> bool {
        !mask
    }
    #[inline(always)]
    fn all(mask: bool) -> bool {
        mask
    }
    #[inline(always)]
    fn holds(mask: bool, _: usize) -> bool {
        mask
    }
    #[inline(always)]
    fn mask(value: bool) -> bool {
        value
    }
}
