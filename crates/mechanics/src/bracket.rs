//! False position between a place that stands and one that does not.

/// A bracket: `good` has room left, `wall` has none. Illinois rule (Dowell & Jarratt 1971) where
/// the room beyond is known, halving where no pose stands there.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Bracket {
    pub good: f64,
    pub wall: f64,
    near: f64,
    far: Option<f64>,
    /// The side that the last step replaced: +1 good, −1 wall.
    replaced: i8,
}

impl Bracket {
    /// `near` ≥ 0 is the room at `good`; `far` < 0 the room at `wall`, if its pose stands.
    pub fn new(good: f64, near: f64, wall: f64, far: Option<f64>) -> Bracket {
        Bracket {
            good,
            wall,
            near,
            far,
            replaced: 0,
        }
    }

    /// Width left.
    pub fn width(&self) -> f64 {
        (self.wall - self.good).abs()
    }

    /// The place to try next.
    pub fn next(&self) -> f64 {
        let part = match self.far {
            Some(far) if self.near.is_finite() => self.near / (self.near - far),
            _ => 0.5,
        };
        self.good + (self.wall - self.good) * part
    }

    /// A place with room left.
    pub fn within(&mut self, at: f64, room: f64) {
        if self.replaced == 1 {
            self.far = self.far.map(|far| 0.5 * far);
        }
        (self.good, self.near, self.replaced) = (at, room, 1);
    }

    /// A place without.
    pub fn beyond(&mut self, at: f64, room: Option<f64>) {
        if self.replaced == -1 {
            self.near *= 0.5;
        }
        (self.wall, self.far, self.replaced) = (at, room, -1);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_the_root_of_a_curve_and_of_a_cliff() {
        let room = |x: f64| 2.0 - x * x;
        let mut b = Bracket::new(0.0, 2.0, 2.0, Some(-2.0));
        for _ in 0..20 {
            let x = b.next();
            if room(x) >= 0.0 {
                b.within(x, room(x))
            } else {
                b.beyond(x, Some(room(x)))
            }
        }
        assert!((b.good - core::f64::consts::SQRT_2).abs() < 1e-12);

        let mut b = Bracket::new(0.0, 1.0, 1.0, None);
        for _ in 0..40 {
            let x = b.next();
            if x < 0.3 {
                b.within(x, 1.0)
            } else {
                b.beyond(x, None)
            }
        }
        assert!((b.good - 0.3).abs() < 1e-11 && b.width() < 1e-11);
    }
}
