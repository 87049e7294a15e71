//! Starting from what another job found.

use crate::fault::Fault;
use crate::job::{Freedom, Job};
use crate::parameter;
use crate::paths::{self, Path};
use crate::vehicle::Vehicle;

/// The start points of a job that starts from another's front: the submitted vehicle, then the
/// front's candidates, each as offsets from this job's vehicle that put the freed points where the
/// candidate has them. Evenly spread over the front however few of them are used. Offsets beyond
/// this job's ranges are left to the search, which moves them inside.
///
/// `front` holds offsets of `other`'s freedoms from `other`'s vehicle.
///
/// # Errors
/// One fault for each freedom that only one of the two jobs has; they may stand in another order.
pub fn starts_from(
    job: &Job,
    other: &Job,
    front: &[Vec<f64>],
) -> Result<Vec<Vec<f64>>, Vec<Fault>> {
    let mut faults = Vec::new();
    let mut places = Vec::new();
    for (i, freedom) in job.freedoms.iter().enumerate() {
        match other
            .freedoms
            .iter()
            .position(|theirs| same(freedom, theirs))
        {
            Some(place) => places.push(place),
            None => faults.push(differs(
                format!("/freedoms/{i}"),
                "the job to start from has no such freedom",
                freedom,
            )),
        }
    }
    for theirs in &other.freedoms {
        if !job.freedoms.iter().any(|freedom| same(freedom, theirs)) {
            let message = "the job to start from has a freedom that this one lacks";
            faults.push(differs("/start_from/job".to_owned(), message, theirs));
        }
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    let shift = |f: &Freedom| start(&other.vehicle, f) - start(&job.vehicle, f);
    let moved = |vector: &Vec<f64>| {
        let pairs = job.freedoms.iter().zip(&places);
        pairs.map(|(f, place)| vector[*place] + shift(f)).collect()
    };
    let whole = |vector: &&Vec<f64>| vector.len() == other.freedoms.len();
    let mut starts = vec![vec![0.0; job.freedoms.len()]];
    starts.extend(
        spread(front.len())
            .map(|i| &front[i])
            .filter(whole)
            .map(moved),
    );
    Ok(starts)
}

/// What a freedom moves, whatever its range; carried points in any order.
fn named(freedom: &Freedom) -> String {
    match freedom {
        Freedom::Point(point) => {
            let mut carries = point.carries.clone();
            carries.sort();
            let carrying = match carries.as_slice() {
                [] => String::new(),
                carries => format!(", carrying {}", carries.join(", ")),
            };
            format!("{} along {}{carrying}", point.point, point.axis.name())
        }
        Freedom::Choice(choice) => choice.parameter.clone(),
        Freedom::Joint(joint) => format!("{} from {}", joint.parameter, joint.names.join(", ")),
        Freedom::Direction(f) => format!("{} about {}", f.direction, f.about.name()),
    }
}

fn same(one: &Freedom, other: &Freedom) -> bool {
    named(one) == named(other)
}

fn differs(pointer: String, message: &str, freedom: &Freedom) -> Fault {
    Fault {
        pointer,
        message: message.to_owned(),
        value: named(freedom),
        allowed:
            "the same points with axes and carried points, and the same sizes; ranges may differ"
                .into(),
    }
}

/// Where the freed coordinate or size stands as submitted, mm.
fn start(vehicle: &Vehicle, freedom: &Freedom) -> f64 {
    match freedom {
        Freedom::Point(point) => {
            let path = Path::parse(&point.point);
            let found = path.and_then(|path| paths::get(vehicle, path));
            found.map_or(0.0, |found| found[point.axis.index()])
        }
        Freedom::Choice(choice) => parameter::get(vehicle, &choice.parameter).unwrap_or(0.0),
        Freedom::Joint(joint) => joint.start(vehicle),
        // Turned from the vehicle as submitted, which the other job may have given otherwise.
        Freedom::Direction(_) => 0.0,
    }
}

/// 0 to `count` − 1 so that each beginning of the list is spread over all of it: the order of the
/// numbers read backwards in base two (van der Corput 1935).
fn spread(count: usize) -> impl Iterator<Item = usize> {
    let bits = usize::BITS - count.saturating_sub(1).leading_zeros();
    let backwards = move |i: usize| match bits {
        0 => i,
        bits => i.reverse_bits() >> (usize::BITS - bits),
    };
    (0..1_usize << bits)
        .map(backwards)
        .filter(move |i| *i < count)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn beginnings_are_spread_and_nothing_is_left_out() {
        assert_eq!(spread(8).collect::<Vec<_>>(), [0, 4, 2, 6, 1, 5, 3, 7]);
        for count in [0, 1, 2, 3, 5, 100] {
            let mut all: Vec<usize> = spread(count).collect();
            all.sort_unstable();
            assert_eq!(all, (0..count).collect::<Vec<_>>());
        }
    }
}
