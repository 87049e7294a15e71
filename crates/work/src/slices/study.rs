//! What a workshop's errors make of one candidate of the front.

use super::answer::Answer;
use super::{Halt, Stopped};
use crate::model::Model;

/// What a study leaves.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Studied {
    /// The candidate's number on the front; `None` when the front is too short for this study.
    pub number: Option<u32>,
    /// The candidate's number and its study, for the publication; empty without a candidate.
    pub checkpoint: Vec<u8>,
}

/// Studies candidate `index` of those that the answer chooses for it.
///
/// # Errors
/// [`Stopped::Interrupted`] when `halt` says so before it begins; [`Stopped::Failed`] when a
/// checkpoint can't be read.
pub fn run_study(
    model: &dyn Model,
    archive: &[u8],
    polishes: &[Vec<u8>],
    index: u32,
    halt: Halt<'_>,
) -> Result<Studied, Stopped> {
    let answer = Answer::new(model, archive, polishes)?;
    let studied = answer.studied(model.study_points());
    let Some(number) = studied.get(index as usize).copied() else {
        return Ok(Studied {
            number: None,
            checkpoint: vec![],
        });
    };
    if halt() {
        return Err(Stopped::Interrupted);
    }
    let study = model.study(&model.round(&answer.points[number].vector));
    let number = number as u32;
    Ok(Studied {
        number: Some(number),
        checkpoint: [number.to_le_bytes().as_slice(), &study].concat(),
    })
}

/// Number and study of a checkpoint; `None` of one without a candidate.
pub(super) fn read_study(checkpoint: &[u8]) -> Option<(usize, &[u8])> {
    let (number, study) = checkpoint.split_first_chunk()?;
    Some((u32::from_le_bytes(*number) as usize, study))
}
