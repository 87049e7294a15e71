//! Jobs, slices and results on sqlx. Sees checkpoints as bytes; knows no HTTP and no mechanics.
