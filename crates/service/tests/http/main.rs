//! The HTTP interface, asked in process; the socket tests ask over a real connection.

#![allow(clippy::unwrap_used, reason = "a test fails where it unwraps in vain")]

mod bad_input;
mod comparisons;
mod events;
mod fits;
mod forms;
mod found;
mod fronts;
mod guards;
mod jobs;
mod life;
mod loadings;
mod openapi;
mod page;
mod reports;
mod single;
mod socket;
mod transfers;
mod vehicles;
mod world;
