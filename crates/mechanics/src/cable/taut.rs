//! The path of a taut cable over sheaves and through eyes.
//!
//! A sheave's groove keeps the cable in the sheave's plane, so it leaves where its projection on
//! that plane is tangent to the circle: with w from the centre to the next point, |w| = d in the
//! plane and t² = d² − r², the unit direction to the point of contact is (r·w ∓ t·k×w)/d². Two
//! sheaves in a row give each other's points, by turns until both stand still.

use super::MOST_GUIDES;
use kinematics::V3;

/// Most bends of a path, both ends included.
pub(crate) const MOST_BENDS: usize = MOST_GUIDES + 2;
/// Contact points stand still when they move by less, mm.
const STILL: f64 = 1e-12;
const MOST_TURNS: usize = 200;

/// A place where the cable may bend.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bend {
    /// Centre of the sheave or eye, mm.
    pub centre: V3<f64>,
    /// Axis of a sheave; need not be a unit vector. Not read for an eye.
    pub axis: V3<f64>,
    /// Radius on which the cable lies, mm; 0: an eye.
    pub radius: f64,
    /// +1 where the cable, followed from its start, runs round right-handed about the axis, −1
    /// where left-handed.
    pub turn: f64,
}

/// A taut path.
#[derive(Clone, Copy, Debug)]
pub struct Taut {
    /// Length from where it leaves the first bend to where it meets the last, mm.
    pub length: f64,
    /// Unit direction from the first bend's centre to where the cable leaves it; 0 of an eye.
    pub leaves: V3<f64>,
    /// Unit direction from the last bend's centre to where the cable meets it; 0 of an eye.
    pub meets: V3<f64>,
    /// Unit directions from the centres of the bends between to where the cable meets them; 0 of eyes
    /// and of sheaves that it does not touch.
    pub arrives: [V3<f64>; MOST_BENDS],
    /// Angles by which it bends at each bend between, radians; 0 at a sheave that it does not touch.
    pub wraps: [f64; MOST_BENDS],
}

/// The shortest path that leaves the first bend, touches the sheaves between in order and ends on
/// the last; a sheave from which it would lift off is passed by. At least two bends, at most
/// eight.
///
/// # Errors
/// The index of a sheave that the path runs through: a point of it lies within its circle.
pub fn taut(bends: &[Bend]) -> Result<Taut, usize> {
    let last = bends.len().clamp(2, MOST_BENDS) - 1;
    let mut units = [bends[0]; MOST_BENDS];
    for (unit, bend) in units.iter_mut().zip(bends) {
        *unit = *bend;
        unit.axis = bend.axis.unit();
    }
    let mut touched = [true; MOST_BENDS];
    loop {
        let path = over(&units[..=last], &touched)?;
        // The sheave that the cable would have to push away from, the worst first.
        let lifts = (1..last).filter(|&i| touched[i] && path.wraps[i] < 0.0);
        let worst = lifts.min_by(|&a, &b| path.wraps[a].total_cmp(&path.wraps[b]));
        match worst {
            Some(i) => touched[i] = false,
            None => return Ok(path),
        }
    }
}

fn over(bends: &[Bend], touched: &[bool; MOST_BENDS]) -> Result<Taut, usize> {
    let zero = V3::new(0.0, 0.0, 0.0);
    let last = bends.len() - 1;
    let (mut meets, mut leaves) = ([zero; MOST_BENDS], [zero; MOST_BENDS]);
    let (mut before, mut after) = ([zero; MOST_BENDS], [zero; MOST_BENDS]);
    let mut path = Taut {
        length: 0.0,
        leaves: zero,
        meets: zero,
        arrives: [zero; MOST_BENDS],
        wraps: [0.0; MOST_BENDS],
    };
    let mut from = 0;
    for to in (1..=last).filter(|&i| touched[i]) {
        let [out, into] = span([&bends[from], &bends[to]]).map_err(|end| [from, to][end])?;
        leaves[from] = out;
        meets[to] = into;
        let straight = at(&bends[to], into) - at(&bends[from], out);
        path.length += straight.norm();
        (after[from], before[to]) = (straight, straight);
        from = to;
    }
    for i in (1..last).filter(|&i| touched[i] && bends[i].radius > 0.0) {
        path.wraps[i] = angle(&bends[i], meets[i], leaves[i]);
        path.length += bends[i].radius * path.wraps[i];
    }
    // An eye bends the cable without a length of its own.
    for i in (1..last).filter(|&i| bends[i].radius == 0.0) {
        let [a, b] = [before[i], after[i]];
        path.wraps[i] = libm::atan2(a.cross(b).norm(), a.dot(b));
    }
    (path.leaves, path.meets, path.arrives) = (leaves[0], meets[last], meets);
    Ok(path)
}

fn at(bend: &Bend, direction: V3<f64>) -> V3<f64> {
    bend.centre + direction.scale(bend.radius)
}

/// A path as points; arcs in steps of at most 15°. Empty where there is none.
pub(super) fn line(bends: &[Bend]) -> Vec<V3<f64>> {
    const STEP: f64 = core::f64::consts::PI / 12.0;
    let Ok(path) = taut(bends) else {
        return Vec::new();
    };
    let last = bends.len() - 1;
    let mut points = vec![at(&bends[0], path.leaves)];
    for (i, bend) in bends.iter().enumerate().take(last).skip(1) {
        let axis = bend.axis.unit();
        let steps = libm::ceil(path.wraps[i] / STEP) as usize;
        if bend.radius == 0.0 {
            points.push(bend.centre);
        } else if steps > 0 {
            let turned = |step: usize| {
                let angle = bend.turn * path.wraps[i] * step as f64 / steps as f64;
                path.arrives[i].rotated(axis, libm::cos(angle), libm::sin(angle))
            };
            points.extend((0..=steps).map(|step| at(bend, turned(step))));
        }
    }
    points.push(at(&bends[last], path.meets));
    points
}

/// Contact directions of the straight part between two bends; the error says which end fails.
fn span([a, b]: [&Bend; 2]) -> Result<[V3<f64>; 2], usize> {
    let (mut out, mut into) = (leaving(a, b.centre).ok_or(0usize)?, V3::new(0.0, 0.0, 0.0));
    for _ in 0..MOST_TURNS {
        let next = arriving(b, at(a, out)).ok_or(1usize)?;
        let moved = b.radius * (next - into).norm();
        into = next;
        let next = leaving(a, at(b, into)).ok_or(0usize)?;
        let also = a.radius * (next - out).norm();
        out = next;
        if moved.max(also) < STILL {
            break;
        }
    }
    Ok([out, into])
}

/// Direction to the point where the cable leaves a bend towards a point; `None` inside its circle.
fn leaving(bend: &Bend, to: V3<f64>) -> Option<V3<f64>> {
    contact(bend, to, -bend.turn)
}

/// Direction to the point where a cable from a point meets a bend.
fn arriving(bend: &Bend, from: V3<f64>) -> Option<V3<f64>> {
    contact(bend, from, bend.turn)
}

fn contact(bend: &Bend, point: V3<f64>, sense: f64) -> Option<V3<f64>> {
    if bend.radius == 0.0 {
        return Some(V3::new(0.0, 0.0, 0.0));
    }
    let (k, r) = (bend.axis, bend.radius);
    let w = (point - bend.centre).across(k);
    let d2 = w.norm2();
    if d2.is_nan() || d2 <= r * r {
        return None;
    }
    let t = (d2 - r * r).sqrt();
    Some((w.scale(r) + k.cross(w).scale(sense * t)).scale(1.0 / d2))
}

/// Angle round a bend from one direction to another in its sense, from −90° to 270°.
pub(super) fn angle(bend: &Bend, from: V3<f64>, to: V3<f64>) -> f64 {
    let around = bend.turn * libm::atan2(bend.axis.unit().dot(from.cross(to)), from.dot(to));
    match around < -core::f64::consts::FRAC_PI_2 {
        true => around + core::f64::consts::TAU,
        false => around,
    }
}
