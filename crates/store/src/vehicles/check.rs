//! Ranges of what callers say about vehicles.

use super::model::{NewVersion, VehicleChange};
use crate::error::Error;
use crate::labels;
use crate::text::refuse_zero;

const NAME_BYTES: usize = 200;
const NOTE_BYTES: usize = 10_000;

pub(super) fn name(text: &str) -> Result<(), Error> {
    refuse_zero("name", text)?;
    within("name", text, 1, NAME_BYTES)
}

pub(super) fn notes(text: &str) -> Result<(), Error> {
    refuse_zero("notes", text)?;
    within("notes", text, 0, NOTE_BYTES)
}

pub(super) fn version(new: &NewVersion) -> Result<(), Error> {
    refuse_zero("note", &new.note)?;
    within("note", &new.note, 0, NOTE_BYTES)
}

pub(super) fn change(change: &VehicleChange) -> Result<(), Error> {
    change.name.as_deref().map_or(Ok(()), name)?;
    change.notes.as_deref().map_or(Ok(()), notes)?;
    change.labels.as_deref().map_or(Ok(()), labels::check)
}

fn within(field: &'static str, text: &str, least: usize, most: usize) -> Result<(), Error> {
    if (least..=most).contains(&text.len()) {
        return Ok(());
    }
    let message = format!("{} bytes; {least} to {most} are allowed", text.len());
    Err(Error::Invalid { field, message })
}
