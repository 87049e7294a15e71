//! Checkpoints of all islands in one, for the slices of a very cheap job: a head, their number, then
//! for each its length and its bytes; numbers are 32 bits, little end first.

use design::Budget;

use super::Stopped;
use crate::model::Model;

/// Names the form and its version.
const HEAD: &[u8; 4] = b"lwt1";

/// All islands in one, in island order.
pub(super) fn join(islands: &[Vec<u8>]) -> Vec<u8> {
    let mut joined = HEAD.to_vec();
    joined.extend((islands.len() as u32).to_le_bytes());
    for island in islands {
        joined.extend((island.len() as u32).to_le_bytes());
        joined.extend(island);
    }
    joined
}

/// The islands of one.
pub(super) fn part(joined: &[u8]) -> Result<Vec<Vec<u8>>, Stopped> {
    let unread = || Stopped::Failed("a checkpoint of all islands can't be read".to_owned());
    let rest = joined.strip_prefix(HEAD).ok_or_else(unread)?;
    let (count, mut rest) = number(rest).ok_or_else(unread)?;
    let mut islands = vec![];
    for _ in 0..count {
        let (length, behind) = number(rest).ok_or_else(unread)?;
        let (island, behind) = behind.split_at_checked(length).ok_or_else(unread)?;
        islands.push(island.to_vec());
        rest = behind;
    }
    match rest {
        [] => Ok(islands),
        _ => Err(unread()),
    }
}

fn number(bytes: &[u8]) -> Option<(usize, &[u8])> {
    let (number, rest) = bytes.split_first_chunk()?;
    Some((u32::from_le_bytes(*number) as usize, rest))
}

/// [`islands_of`] a model's budget.
pub(crate) fn islands(model: &dyn Model, checkpoints: &[Vec<u8>]) -> Result<Vec<Vec<u8>>, Stopped> {
    islands_of(&model.budget(), checkpoints)
}

/// The islands' snapshots of search checkpoints, in island order, however the job's slices keep them.
///
/// # Errors
/// [`Stopped::Failed`] when a joined one can't be read.
pub(crate) fn islands_of(
    budget: &Budget,
    checkpoints: &[Vec<u8>],
) -> Result<Vec<Vec<u8>>, Stopped> {
    if budget.epochs_together <= 1 {
        return Ok(checkpoints.to_vec());
    }
    let parts: Result<Vec<_>, _> = checkpoints.iter().map(|joined| part(joined)).collect();
    Ok(parts?.concat())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn islands_come_apart_as_they_were_joined_and_spoilt_ones_do_not() {
        let islands = vec![b"one".to_vec(), vec![], b"three".to_vec()];
        let joined = join(&islands);
        assert_eq!(part(&joined), Ok(islands));
        for length in 0..joined.len() {
            assert!(part(&joined[..length]).is_err(), "{length} bytes");
        }
        assert!(part(&[&joined[..], b"x"].concat()).is_err());
    }
}
