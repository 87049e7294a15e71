//! The HTTP interface, asked in process; the socket tests ask over a real connection.

mod bad_input;
mod comparisons;
mod events;
mod fronts;
mod guards;
mod jobs;
mod openapi;
mod single;
mod socket;
mod world;
