//! The fields of both files, once: checks and JSON Schema are made from these tables.

pub(crate) mod as_built;
mod body;
mod effort;
mod handlebar;
pub(crate) mod job;
mod joints;
mod load_cases;
pub(crate) mod parts;
mod right_side;
mod steering;
pub(crate) mod tolerance;
pub(crate) mod vehicle;
