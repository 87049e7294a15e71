//! Between a place that stands and one that does not.

/// A bracket: `good` has room left, `wall` has none. Where the room beyond is known: false
/// position with the Illinois rule (Dowell & Jarratt 1971). Where no pose stands there: strides
/// that are halved when they fail and doubled when two in a row succeed; a failed stride is no wall, for close to a singularity the
/// solver only reaches neighbours, and the closer the nearer ones.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Bracket {
    pub good: f64,
    wall: f64,
    near: f64,
    far: Option<f64>,
    stride: f64,
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
            stride: 0.5 * (wall - good),
            replaced: 0,
        }
    }

    /// Width left.
    pub fn width(&self) -> f64 {
        match self.far {
            Some(_) => (self.wall - self.good).abs(),
            None => self.stride.abs().min((self.wall - self.good).abs()),
        }
    }

    /// The place to try next.
    pub fn next(&self) -> f64 {
        let left = self.wall - self.good;
        match self.far {
            Some(far) if self.near.is_finite() => {
                self.good + left * (self.near / (self.near - far))
            }
            Some(_) => self.good + 0.5 * left,
            None if self.stride.abs() < left.abs() => self.good + self.stride,
            None => self.good + 0.5 * left,
        }
    }

    /// A place with room left.
    pub fn within(&mut self, at: f64, room: f64) {
        if self.replaced == 1 {
            self.far = self.far.map(|far| 0.5 * far);
            self.stride *= 2.0;
        }
        (self.good, self.near, self.replaced) = (at, room, 1);
    }

    /// A place without.
    pub fn beyond(&mut self, at: f64, room: Option<f64>) {
        let Some(room) = room else {
            self.stride = 0.5 * (at - self.good);
            (self.far, self.replaced) = (None, -1);
            return;
        };
        if self.replaced == -1 {
            self.near *= 0.5;
        }
        (self.wall, self.far, self.replaced) = (at, Some(room), -1);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_the_root_of_a_curve() {
        let room = |x: f64| 2.0 - x * x;
        let mut b = Bracket::new(0.0, 2.0, 2.0, Some(-2.0));
        for _ in 0..20 {
            let x = b.next();
            match room(x) >= 0.0 {
                true => b.within(x, room(x)),
                false => b.beyond(x, Some(room(x))),
            }
        }
        assert!((b.good - core::f64::consts::SQRT_2).abs() < 1e-12);
    }

    /// A solver that reaches only as far as it stands from the end itself.
    #[test]
    fn strides_creep_up_to_an_end_that_is_hard_to_see() {
        let end = 0.83;
        let mut b = Bracket::new(0.0, 1.0, 1.0, None);
        for _ in 0..200 {
            let x = b.next();
            let reached = x < end && x - b.good < 0.4 * (end - b.good);
            match reached {
                true => b.within(x, 1.0),
                false => b.beyond(x, None),
            }
        }
        assert!(
            (b.good - end).abs() < 1e-8 && b.width() < 1e-8,
            "{}",
            b.good
        );
    }
}
