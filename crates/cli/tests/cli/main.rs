//! The binary as a script sees it: output, exit codes, files, signals.

#![allow(clippy::unwrap_used, reason = "a test fails where it unwraps in vain")]

mod alone;
mod longer;
mod process;
mod runs;
mod served;
mod store;
mod study;
mod vehicles;
