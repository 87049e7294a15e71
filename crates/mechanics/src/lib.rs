//! Poses to quantities: curves, limits and set-up figures of a leaning three-wheeler. No I/O, no clock, no serde.
