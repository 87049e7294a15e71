//! The fields of both files, once: checks and JSON Schema are made from these tables.

pub(crate) mod job;
mod right_side;
pub(crate) mod tolerance;
pub(crate) mod vehicle;
