//! Pictures, reports and tables made from real candidates of the demonstration job.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on fails")]

mod common;
mod layouts;
mod pictures;
mod reports;
mod tables;
