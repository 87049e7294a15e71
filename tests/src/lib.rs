//! Whole-system tests of leanwright: HTTP, faults, outside references.
//!
//! This library holds what several of the tests share; the tests themselves lie in `tests/`.

pub mod cases;
pub mod database;
pub mod machine;
pub mod process;
pub mod program;
pub mod site;
