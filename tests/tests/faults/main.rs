//! Whole processes, real signals, both stores: whatever is done to a job on its way, it ends once and
//! with the bits of an undisturbed run.
//!
//! What only PostgreSQL has (several processes on one store, a server that goes away, connections that
//! are cut) is tested there alone. Races of two writers stand in the store's contract suite, which
//! runs on both.

mod clock;
mod database;
mod disk;
mod kills;
mod stopped;
mod workers;
