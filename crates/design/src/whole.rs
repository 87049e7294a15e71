//! Whole numbers of JSON: 5, 5.0 and 5e0 are the same number.

use serde::{Deserialize, Deserializer, de::Error};

/// Reads a whole number that the checks have let pass.
pub(crate) fn read<'de, D: Deserializer<'de>, T: TryFrom<u64>>(source: D) -> Result<T, D::Error> {
    let value = serde_json::Value::deserialize(source)?;
    crate::check::whole_number(&value)
        .and_then(|n| T::try_from(n).ok())
        .ok_or_else(|| D::Error::custom("a whole number is needed"))
}

/// The same of a field that may be absent.
pub(crate) fn read_some<'de, D: Deserializer<'de>>(source: D) -> Result<Option<u32>, D::Error> {
    read(source).map(Some)
}
