//! The job: vehicle, freedoms, holds, requirements and goals become a search problem and back again. Wire types, schema, validation; no I/O.
