//! Several archives of different problems with the same goals, laid over one another.

use crate::archive::{Archive, Point};
use crate::blocks::Blocks;
use crate::progress::{Progress, Scales};
use crate::standing::{Goals, covers};
use crate::subset;
use std::cmp::Ordering;

/// What no point of any archive beats. Of equal points that of the first archive stays. With one
/// archive it is that archive.
#[derive(Clone, Debug)]
pub struct Overlay<'a> {
    archives: &'a [Archive],
    /// Archive and place of each point, and its goals.
    kept: Vec<(usize, usize)>,
    values: Vec<Goals>,
}

impl<'a> Overlay<'a> {
    /// Lays archives over one another; all must have as many goals.
    pub fn new(archives: &'a [Archive]) -> Overlay<'a> {
        let mut overlay = Overlay {
            archives,
            kept: Vec::new(),
            values: Vec::new(),
        };
        for (of, archive) in archives.iter().enumerate() {
            for (place, value) in archive.values().iter().enumerate() {
                let beaten = archives.iter().enumerate().any(|(other, rivals)| {
                    let beats = |v: &Goals| covers(v, value) && (other < of || v != value);
                    other != of && rivals.values().iter().any(beats)
                });
                if !beaten {
                    overlay.kept.push((of, place));
                    overlay.values.push(*value);
                }
            }
        }
        overlay
    }

    fn goals(&self) -> usize {
        self.archives.first().map_or(0, Archive::goals)
    }

    /// At most `count` points with the place of their archive, chosen and ordered as by
    /// [`Archive::choose`].
    pub fn choose(&self, count: usize) -> Vec<(usize, Point)> {
        let chosen = subset::best(&self.values, self.goals(), count);
        let point = |i: usize| {
            let (of, place) = self.kept[i];
            (of, self.archives[of].point(place))
        };
        chosen.into_iter().map(point).collect()
    }

    /// The number of points.
    pub fn len(&self) -> usize {
        self.values.len()
    }

    /// Whether nothing feasible was found.
    pub fn is_empty(&self) -> bool {
        self.values.is_empty()
    }

    /// The widest of the archives' frozen scales.
    pub fn scales(&self) -> Option<Scales> {
        let frozen = self.archives.iter().filter_map(Archive::scales).cloned();
        frozen.reduce(|a, b| {
            let each = |x: &[f64], y: &[f64], pick: fn(f64, f64) -> f64| {
                x.iter().zip(y).map(|(p, q)| pick(*p, *q)).collect()
            };
            Scales {
                ideal: each(&a.ideal, &b.ideal, f64::min),
                nadir: each(&a.nadir, &b.nadir, f64::max),
            }
        })
    }

    /// The figures of progress of all together.
    pub fn progress(&self) -> Progress {
        let measured = self.scales().map(|scales| scales.measure(&self.values));
        let least = |goal: usize| {
            let values = self.values.iter().map(|v| v[goal]);
            values.fold(f64::INFINITY, f64::min)
        };
        Progress {
            evaluations: self.archives.iter().map(Archive::evaluations).sum(),
            feasible: self.archives.iter().map(Archive::feasible).sum(),
            front: self.len(),
            best: (!self.is_empty()).then(|| (0..self.goals()).map(least).collect()),
            hypervolume: measured.map(|(value, _)| value),
            hypervolume_is_estimate: measured.is_some_and(|(_, estimate)| estimate),
        }
    }

    /// What stands between all searches and a feasible candidate; with the place of the archive that
    /// the nearest miss is of.
    pub fn blocks(&self) -> (usize, Blocks) {
        let mut all = self.archives.iter().map(Archive::blocks).enumerate();
        let Some((_, mut sum)) = all.next() else {
            return (0, Blocks::nothing());
        };
        let mut of = 0;
        for (place, other) in all {
            if sum.add(other) {
                of = place;
            }
        }
        (of, sum)
    }
}

impl Blocks {
    fn nothing() -> Blocks {
        Blocks {
            evaluations: 0,
            feasible: 0,
            apart: 0,
            failing: Vec::new(),
            least: None,
        }
    }

    /// Adds what another search of as many violations saw; says whether the nearest miss is now
    /// the other's.
    fn add(&mut self, other: Blocks) -> bool {
        self.evaluations += other.evaluations;
        self.feasible += other.feasible;
        self.apart += other.apart;
        for row in &mut self.failing {
            let same = other.failing.iter().find(|o| o.violation == row.violation);
            let Some(more) = same else { continue };
            let count = row.count + more.count;
            let sum = row.mean * row.count as f64 + more.mean * more.count as f64;
            row.mean = if count == 0 { 0.0 } else { sum / count as f64 };
            row.count = count;
            row.alone += more.alone;
            row.least = match (row.least, more.least) {
                (Some(a), Some(b)) => Some(a.min(b)),
                (a, b) => a.or(b),
            };
        }
        self.failing
            .sort_by(|a, b| b.count.cmp(&a.count).then(b.mean.total_cmp(&a.mean)));
        if self.feasible > 0 {
            self.least = None;
            return false;
        }
        let theirs = match (&self.least, &other.least) {
            (Some(own), Some(theirs)) => theirs.order(own) == Ordering::Less,
            (None, Some(_)) => true,
            _ => false,
        };
        if theirs {
            self.least = other.least;
        }
        theirs
    }
}

impl crate::blocks::LeastViolated {
    /// The smaller is nearer: one with numbers before one without, then the smaller sum of what is
    /// violated or the smaller distance.
    fn order(&self, other: &Self) -> Ordering {
        let key = |miss: &Self| match miss.apart {
            Some(distance) => (1, distance),
            None => (0, miss.violations.iter().map(|v| v.max(0.0)).sum::<f64>()),
        };
        let ((a, x), (b, y)) = (key(self), key(other));
        a.cmp(&b).then(x.total_cmp(&y))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Evaluation, Island, Problem, Settings, Variable};

    /// An archive of x² + shift against (x − 2)², over so many variables of which one counts.
    fn archive(variables: usize, shift: f64, most: f64) -> Archive {
        let one = Variable::Real {
            low: 0.0,
            high: most,
        };
        let problem = Problem::new(vec![one; variables], 2, 1).expect("sound");
        let mut island = Island::start(&problem, &Settings::new(3, 0)).expect("starts");
        while island.evaluations() < 1_500 {
            let told: Vec<Evaluation> = island
                .ask()
                .iter()
                .map(|x| {
                    let goals = vec![x[0] * x[0] + shift, (x[0] - 2.0) * (x[0] - 2.0)];
                    Evaluation::assembled(goals, vec![-1.0])
                })
                .collect();
            island.tell(&told).expect("whole");
        }
        Archive::merge(&problem, &[island.snapshot()]).expect("whole")
    }

    #[test]
    fn one_archive_alone_stays_as_it_is() {
        let all = [archive(2, 0.0, 3.0)];
        let overlay = Overlay::new(&all);
        let own: Vec<Point> = overlay.choose(17).into_iter().map(|(_, p)| p).collect();
        assert_eq!(own, all[0].choose(17));
        assert_eq!(overlay.progress(), all[0].progress());
    }

    /// The first reaches only to x = 1, the second all the way at a price of 0.5: the front is the
    /// first's up to there, then the second's.
    #[test]
    fn only_what_nothing_beats_is_kept() {
        let all = [archive(2, 0.0, 1.0), archive(5, 0.5, 2.0)];
        let overlay = Overlay::new(&all);
        let front = overlay.choose(60);
        for (i, (_, a)) in front.iter().enumerate() {
            for (_, b) in front.iter().skip(i + 1) {
                let beats = a.goals.iter().zip(&b.goals).all(|(x, y)| x <= y);
                assert!(!beats, "{a:?} {b:?}");
            }
        }
        let of = |k: usize| front.iter().filter(|(of, _)| *of == k).count();
        assert!(of(0) > 5 && of(1) > 5, "{} {}", of(0), of(1));
        assert!(front.iter().all(|(of, p)| p.vector.len() == [2, 5][*of]));
        let split = |(of, p): &(usize, Point)| (*of == 0) == (p.goals[1] >= 1.0 - 1e-9);
        assert!(front.iter().all(split), "{front:?}");
        let progress = overlay.progress();
        let alone = all.iter().map(|a| a.evaluations()).sum::<u64>();
        assert_eq!(progress.evaluations, alone);
        assert_eq!(progress.front, overlay.len());
    }
}
