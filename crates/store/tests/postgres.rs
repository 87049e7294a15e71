//! The contract on PostgreSQL, and what only PostgreSQL has. The server is started by
//! `tests/postgres/with`, which names it in the environment; without it these tests fail.

#![allow(clippy::unwrap_used, missing_docs)]

mod contract;
mod on_postgres;

suite!(crate::on_postgres::schema);
