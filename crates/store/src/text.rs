//! Texts from callers that go into columns of text.

use crate::error::Error;

/// Refuses the zero character, the one that PostgreSQL keeps in no text; so no engine does here.
pub(crate) fn refuse_zero(field: &'static str, text: &str) -> Result<(), Error> {
    if text.contains('\0') {
        let message = "it holds the zero character U+0000, which is not allowed".to_owned();
        return Err(Error::Invalid { field, message });
    }
    Ok(())
}

/// The same of the words that a list is filtered by.
pub(crate) fn refuse_zeros<const N: usize>(
    words: [(&'static str, &Option<String>); N],
) -> Result<(), Error> {
    words
        .into_iter()
        .try_for_each(|(field, text)| refuse_zero(field, text.as_deref().unwrap_or_default()))
}
