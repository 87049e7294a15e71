//! Distances against brute-force sampling, which asks only for the distance of points from a
//! solid; that in turn is compared with points all over its surface.

use super::*;
use crate::spread::random_share;

/// Random numbers keyed by case and draw.
struct Draws(u64, u64);

impl Draws {
    fn within(&mut self, low: f64, high: f64) -> f64 {
        self.1 += 1;
        low + (high - low) * random_share(11, self.0, self.1)
    }

    fn point(&mut self, far: f64) -> V3<f64> {
        V3::new(
            self.within(-far, far),
            self.within(-far, far),
            self.within(-far, far),
        )
    }

    fn direction(&mut self) -> V3<f64> {
        loop {
            let v = self.point(1.0);
            if v.norm() > 0.1 && v.norm() < 1.0 {
                return v.unit();
            }
        }
    }

    fn segment(&mut self) -> Segment {
        Segment::new(self.point(300.0), self.point(300.0))
    }

    fn block(&mut self) -> Block {
        let x = self.direction();
        let y = self.direction().across(x).unit();
        Block {
            centre: self.point(200.0),
            axes: [x, y, x.cross(y)],
            half: [0; 3].map(|_| self.within(5.0, 150.0)),
        }
    }

    fn ring(&mut self) -> Ring {
        Ring {
            centre: self.point(200.0),
            axis: self.direction(),
            radius: self.within(20.0, 250.0),
        }
    }

    fn drum(&mut self) -> Drum {
        Drum {
            centre: self.point(200.0),
            axis: self.direction(),
            radius: self.within(20.0, 150.0),
            half: self.within(1.0, 60.0),
        }
    }
}

const CASES: u64 = 400;

/// The smallest value at 4001 even places from 0 to 1, looked at more and more closely about the
/// best of them.
fn sampled(f: impl Fn(f64) -> f64) -> f64 {
    let (mut low, mut high, mut best) = (0.0, 1.0, f64::INFINITY);
    for _ in 0..5 {
        let at = |k: usize| low + (high - low) * k as f64 / 4000.0;
        let least = (0..=4000).min_by(|a, b| f(at(*a)).total_cmp(&f(at(*b))));
        let least = least.expect("some place");
        best = f64::min(best, f(at(least)));
        (low, high) = (at(least.saturating_sub(1)), at(usize::min(least + 1, 4000)));
    }
    best
}

fn close(found: f64, wanted: f64, what: &str, case: u64) {
    assert!(
        (found - wanted).abs() < 2e-7,
        "{what} {case}: {found} {wanted}"
    );
}

fn on_ring(ring: &Ring, share: f64) -> V3<f64> {
    let e = V3::new(0.3, -0.5, 0.8).across(ring.axis).unit();
    let angle = share * 2.0 * core::f64::consts::PI;
    ring.centre
        + e.rotated(ring.axis, libm::cos(angle), libm::sin(angle))
            .scale(ring.radius)
}

/// Distance of a point from a segment.
fn off_line(p: V3<f64>, s: &Segment) -> f64 {
    let along = s.to - s.from;
    let share = ((p - s.from).dot(along) / along.norm2()).clamp(0.0, 1.0);
    (p - s.at(share)).norm()
}

#[test]
fn segments_are_as_far_apart_as_their_samples() {
    for case in 0..CASES {
        let mut draws = Draws(case, 0);
        let (a, mut b) = (draws.segment(), draws.segment());
        if case % 4 == 0 {
            // Parallel, at random shifts along one another.
            let shift = draws.point(150.0);
            b = Segment::new(a.from + shift, a.to + shift);
        }
        let wanted = sampled(|t| off_line(a.at(t), &b));
        close(a.off_segment(&b), wanted, "segments", case);
        close(b.off_segment(&a), wanted, "segments", case);
    }
}

#[test]
fn a_segment_is_as_far_from_a_box_as_its_samples() {
    let mut inside = 0;
    for case in 0..CASES {
        let mut draws = Draws(case, 100);
        let (s, block) = (draws.segment(), draws.block());
        let wanted = sampled(|t| block.off_point(s.at(t)));
        inside += usize::from(wanted < 0.0);
        close(block.off_segment(&s), wanted, "box", case);
    }
    assert!(inside > 30, "{inside} reach into the box");
}

#[test]
fn a_circle_is_as_far_from_segments_and_boxes_as_its_samples() {
    let mut inside = 0;
    for case in 0..CASES {
        let mut draws = Draws(case, 200);
        let (ring, s, block) = (draws.ring(), draws.segment(), draws.block());
        let wanted = sampled(|t| ring.off_point(s.at(t)));
        close(ring.off_segment(&s), wanted, "segment", case);
        let round = sampled(|t| off_line(on_ring(&ring, t), &s));
        close(
            ring.off_segment(&s),
            round,
            "segment, round the circle",
            case,
        );
        let wanted = sampled(|t| block.off_point(on_ring(&ring, t)));
        inside += usize::from(wanted < 0.0);
        close(block.off_ring(&ring), wanted, "box", case);
    }
    assert!(inside > 30, "{inside} reach into the box");
}

#[test]
fn a_drum_is_as_far_from_a_segment_as_its_samples() {
    for case in 0..CASES {
        let mut draws = Draws(case, 300);
        let (drum, s) = (draws.drum(), draws.segment());
        let wanted = sampled(|t| drum.off_point(s.at(t)));
        close(drum.off_segment(&s), wanted, "drum", case);
    }
}

/// Even points all over a box.
fn all_over(block: &Block) -> Vec<V3<f64>> {
    const N: usize = 28;
    let share = |k: usize| 2.0 * k as f64 / N as f64 - 1.0;
    let mut points = Vec::new();
    for i in 0..3 {
        for (j, k) in (0..=N).flat_map(|j| (0..=N).map(move |k| (j, k))) {
            for sign in [-1.0, 1.0] {
                let mut at = [0.0; 3];
                (at[i], at[(i + 1) % 3], at[(i + 2) % 3]) = (sign, share(j), share(k));
                let along = |m: usize| block.axes[m].scale(at[m] * block.half[m]);
                points.push(block.centre + along(0) + along(1) + along(2));
            }
        }
    }
    points
}

/// Even points all over a drum.
fn over_drum(drum: &Drum) -> Vec<V3<f64>> {
    let mut points = Vec::new();
    for share in (0..180).map(|k| f64::from(k) / 180.0) {
        let rim = |radius: f64, along: f64| {
            let ring = Ring {
                centre: drum.centre + drum.axis.scale(along),
                axis: drum.axis,
                radius,
            };
            on_ring(&ring, share)
        };
        for k in 0..=20 {
            let part = f64::from(k) / 20.0;
            points.push(rim(drum.radius, drum.half * (2.0 * part - 1.0)));
            points.push(rim(drum.radius * part, drum.half));
            points.push(rim(drum.radius * part, -drum.half));
        }
    }
    points
}

/// Points of both surfaces: never nearer than the gap, and not much farther either.
#[test]
fn solids_are_as_far_apart_as_points_on_them() {
    for case in 0..60 {
        let mut draws = Draws(case, 400);
        let (a, b, drum) = (draws.block(), draws.block(), draws.drum());
        for (gap, points, what) in [
            (a.off_block(&b), all_over(&b), "boxes"),
            (drum.off_block(&a), over_drum(&drum), "drum and box"),
        ] {
            let apart = points.iter().map(|p| a.off_point(*p));
            let nearest = apart.fold(f64::INFINITY, f64::min);
            if gap > 0.0 {
                assert!(nearest >= gap - 1e-6, "{what} {case}: {nearest} {gap}");
                assert!(nearest <= gap + 6.0, "{what} {case}: {nearest} {gap}");
            } else {
                assert!(nearest < 6.0, "{what} {case}: {nearest} {gap}");
            }
        }
        let p = draws.point(300.0);
        let from = |points: Vec<V3<f64>>| {
            let all = points.into_iter().map(|q| (q - p).norm());
            all.fold(f64::INFINITY, f64::min)
        };
        let (block, round) = (a.off_point(p).abs(), drum.off_point(p).abs());
        let near = |points: f64, own: f64| points >= own - 1e-6 && points <= own + 6.0;
        assert!(near(from(all_over(&a)), block), "box {case}");
        assert!(near(from(over_drum(&drum)), round), "drum {case}");
    }
}

#[test]
fn cases_without_a_general_position_stand() {
    let x = V3::new(1.0, 0.0, 0.0);
    let z = V3::new(0.0, 0.0, 1.0);
    let o = V3::new(0.0, 0.0, 0.0);
    let unit = Block {
        centre: o,
        axes: [x, V3::new(0.0, 1.0, 0.0), z],
        half: [1.0; 3],
    };
    let ring = |radius| Ring {
        centre: o,
        axis: z,
        radius,
    };
    // Points instead of segments, one line, a shared end.
    let point = Segment::new(x, x);
    assert_eq!(point.off_segment(&Segment::new(z, z)), 2.0_f64.sqrt());
    let line = Segment::new(x.scale(3.0), x.scale(9.0));
    assert_eq!(line.off_segment(&point), 2.0);
    assert_eq!(
        line.off_segment(&Segment::new(x.scale(4.0), x.scale(5.0))),
        0.0
    );
    assert_eq!(line.off_segment(&Segment::new(x.scale(9.0), z)), 0.0);
    // A box's corner, edge and face; a segment in a face's plane.
    let out = |p: V3<f64>| unit.off_segment(&Segment::new(p, p.scale(2.0)));
    assert!((out(V3::new(2.0, 2.0, 2.0)) - 3.0_f64.sqrt()).abs() < 1e-12);
    assert!((out(V3::new(2.0, 2.0, 0.0)) - 2.0_f64.sqrt()).abs() < 1e-12);
    assert_eq!(out(x.scale(2.0)), 1.0);
    assert_eq!(unit.off_segment(&Segment::new(x + z, z - x)), 0.0);
    assert_eq!(unit.off_segment(&Segment::new(o, o)), -1.0);
    // A circle's own axis, its centre, its plane.
    let axle = Segment::new(z.scale(-4.0), z.scale(4.0));
    assert!((ring(5.0).off_segment(&axle) - 5.0).abs() < 1e-12);
    assert_eq!(ring(5.0).off_point(o), 5.0);
    let spoke = Segment::new(x.scale(-2.0), x.scale(3.0));
    assert!((ring(5.0).off_segment(&spoke) - 2.0).abs() < 1e-12);
    let through = Segment::new(x.scale(-9.0), x.scale(9.0));
    assert!(ring(5.0).off_segment(&through) < 1e-9);
    // A circle round a box, through it, over its face and inside it.
    assert!((unit.off_ring(&ring(5.0)) - (5.0 - 2.0_f64.sqrt())).abs() < 1e-12);
    assert!(unit.off_ring(&ring(1.2)) < -0.1);
    assert!((unit.off_ring(&ring(0.5)) + 1.0).abs() < 0.51);
    let over = Ring {
        centre: z.scale(3.0),
        ..ring(0.5)
    };
    assert!((unit.off_ring(&over) - 2.0).abs() < 1e-12);
    // A bound is never above the gap.
    for case in 0..CASES {
        let mut draws = Draws(case, 500);
        let solids = [
            Solid::Capsule(draws.segment(), 6.0),
            Solid::Torus(draws.ring(), 20.0),
            Solid::Block(draws.block()),
            Solid::Drum(draws.drum()),
        ];
        for (i, a) in solids.iter().enumerate() {
            for b in &solids[i..] {
                let (bound, gap) = (a.bound(b), a.gap(b));
                assert!(bound <= gap + 1e-9, "{case}: {bound} {gap}");
            }
        }
    }
}
