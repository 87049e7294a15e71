//! Fronts and hardpoints as tables: CSV, Parquet, JSON.

mod as_built;
mod columns;
mod csv;
mod front;
mod hardpoints;
mod parquet;
mod sheet;

pub use as_built::as_built_sheet;
pub use columns::{Column, columns, poses};
pub use front::front_sheet;
pub use hardpoints::hardpoint_sheet;
pub use sheet::{Cells, Sheet};
