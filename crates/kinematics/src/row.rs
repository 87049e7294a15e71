//! Several numbers side by side: the wider lane type.
//!
//! Written as plain loops over a small array, which the compiler turns into vector
//! instructions where the target has them. Each place sees the very operations that a
//! single `f64` sees, in the same order, so the bits are equal.

use crate::Lane;
use core::ops::{Add, Div, Mul, Neg, Sub};

/// `N` numbers worked on side by side.
#[derive(Clone, Copy, Debug, PartialEq)]
#[repr(C, align(64))]
pub struct Row<const N: usize>(pub [f64; N]);

/// One truth value per place: all bits set or none.
#[derive(Clone, Copy, Debug, PartialEq)]
#[repr(C, align(64))]
pub struct RowMask<const N: usize>([u64; N]);

#[inline(always)]
fn zip<const N: usize>(a: Row<N>, b: Row<N>, f: impl Fn(f64, f64) -> f64) -> Row<N> {
    let mut out = a;
    for i in 0..N {
        out.0[i] = f(a.0[i], b.0[i]);
    }
    out
}

#[inline(always)]
fn each<const N: usize>(a: Row<N>, f: impl Fn(f64) -> f64) -> Row<N> {
    let mut out = a;
    for value in &mut out.0 {
        *value = f(*value);
    }
    out
}

macro_rules! operator {
    ($trait:ident, $method:ident, $op:tt) => {
        impl<const N: usize> $trait for Row<N> {
            type Output = Self;
            #[inline(always)]
            fn $method(self, other: Self) -> Self {
                zip(self, other, |a, b| a $op b)
            }
        }
    };
}

operator!(Add, add, +);
operator!(Sub, sub, -);
operator!(Mul, mul, *);
operator!(Div, div, /);

impl<const N: usize> Neg for Row<N> {
    type Output = Self;
    #[inline(always)]
    fn neg(self) -> Self {
        each(self, |a| -a)
    }
}

impl<const N: usize> Lane for Row<N> {
    const WIDTH: usize = N;
    type Mask = RowMask<N>;

    #[inline(always)]
    fn splat(value: f64) -> Self {
        Row([value; N])
    }
    #[inline(always)]
    fn get(self, index: usize) -> f64 {
        self.0[index]
    }
    #[inline(always)]
    fn set(&mut self, index: usize, value: f64) {
        self.0[index] = value;
    }
    #[inline(always)]
    fn sqrt(self) -> Self {
        each(self, f64::sqrt)
    }
    #[inline(always)]
    fn abs(self) -> Self {
        each(self, f64::abs)
    }
    #[inline(always)]
    fn less(self, other: Self) -> RowMask<N> {
        let mut out = [0u64; N];
        for (i, place) in out.iter_mut().enumerate() {
            *place = if self.0[i] < other.0[i] { u64::MAX } else { 0 };
        }
        RowMask(out)
    }
    #[inline(always)]
    fn select(mask: RowMask<N>, yes: Self, no: Self) -> Self {
        let mut out = no;
        for i in 0..N {
            let bits = (yes.0[i].to_bits() & mask.0[i]) | (no.0[i].to_bits() & !mask.0[i]);
            out.0[i] = f64::from_bits(bits);
        }
        out
    }
    #[inline(always)]
    fn and(a: RowMask<N>, b: RowMask<N>) -> RowMask<N> {
        let mut out = a;
        for i in 0..N {
            out.0[i] &= b.0[i];
        }
        out
    }
    #[inline(always)]
    fn not(mask: RowMask<N>) -> RowMask<N> {
        RowMask(mask.0.map(|m| !m))
    }
    #[inline(always)]
    fn all(mask: RowMask<N>) -> bool {
        mask.0.iter().fold(u64::MAX, |a, b| a & b) == u64::MAX
    }
    #[inline(always)]
    fn holds(mask: RowMask<N>, index: usize) -> bool {
        mask.0[index] != 0
    }
    #[inline(always)]
    fn mask(value: bool) -> RowMask<N> {
        RowMask([if value { u64::MAX } else { 0 }; N])
    }
}
