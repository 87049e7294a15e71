//! Which leans, travels and crank angles an ask needs.

/// A place of a sweep that runs outwards from zero in two halves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Pick {
    /// Zero itself.
    Zero,
    /// Index of a node above zero.
    Up(usize),
    /// Index of a node below zero.
    Down(usize),
}

/// Nodes of both halves, ordered outwards, without zero.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Halves {
    pub up: Vec<f64>,
    pub down: Vec<f64>,
}

impl Halves {
    /// Adds places and keeps the order outwards; equal places are kept once.
    pub fn add(&mut self, places: &[f64]) {
        for &at in places {
            if at > 0.0 {
                self.up.push(at);
            } else if at < 0.0 {
                self.down.push(at);
            }
        }
        self.up.sort_by(f64::total_cmp);
        self.up.dedup();
        self.down.sort_by(|a, b| b.total_cmp(a));
        self.down.dedup();
    }

    /// Where the places stand; all of them must have been added.
    pub fn picks(&self, places: &[f64]) -> Vec<Pick> {
        let find = |list: &[f64], at: f64| list.iter().position(|p| *p == at);
        places
            .iter()
            .filter_map(|&at| {
                if at == 0.0 {
                    Some(Pick::Zero)
                } else if at > 0.0 {
                    find(&self.up, at).map(Pick::Up)
                } else {
                    find(&self.down, at).map(Pick::Down)
                }
            })
            .collect()
    }
}

/// Evenly spaced places of a range, both ends and (if inside) zero included, in steps of at most
/// `step`; each side of zero has its own spacing.
pub(crate) fn places([low, high]: [f64; 2], step: f64) -> Vec<f64> {
    let mut out = Vec::new();
    if low < 0.0 && high > 0.0 {
        out.extend(places([low, 0.0], step));
        out.extend(places([0.0, high], step).into_iter().skip(1));
        return out;
    }
    let parts = ((high - low) / step - 1e-9).ceil().max(0.0) as usize;
    for i in 0..=parts {
        // Both ends exactly, so that equal ranges share their nodes.
        let at = match i {
            0 => low,
            _ if i == parts => high,
            _ => low + (high - low) * (i as f64 / parts as f64),
        };
        // No negative zero.
        out.push(at + 0.0);
    }
    out
}

/// The range of |x| for x in a range: all that a symmetric machine needs.
pub(crate) fn folded([low, high]: [f64; 2]) -> [f64; 2] {
    if low >= 0.0 {
        [low, high]
    } else if high <= 0.0 {
        [-high + 0.0, -low]
    } else {
        [0.0, high.max(-low)]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_hold_ends_and_zero_and_keep_the_step() {
        assert_eq!(places([-2.0, 3.0], 1.0), [-2.0, -1.0, 0.0, 1.0, 2.0, 3.0]);
        assert_eq!(places([5.0, 5.0], 1.0), [5.0]);
        assert_eq!(places([0.0, 0.0], 1.0), [0.0]);
        let uneven = places([-1.5, 0.7], 1.0);
        assert_eq!(uneven, [-1.5, -0.75, 0.0, 0.7]);
    }

    #[test]
    fn folding_keeps_magnitudes() {
        assert_eq!(folded([-12.0, 5.0]), [0.0, 12.0]);
        assert_eq!(folded([-12.0, -5.0]), [5.0, 12.0]);
        assert_eq!(folded([3.0, 5.0]), [3.0, 5.0]);
    }

    #[test]
    fn picks_find_every_place() {
        let wanted = places([-2.0, 2.0], 1.0);
        let mut halves = Halves::default();
        halves.add(&wanted);
        halves.add(&[0.5]);
        assert_eq!(halves.up, [0.5, 1.0, 2.0]);
        let picks = halves.picks(&wanted);
        assert_eq!(
            picks,
            [
                Pick::Down(1),
                Pick::Down(0),
                Pick::Zero,
                Pick::Up(1),
                Pick::Up(2)
            ]
        );
    }
}
