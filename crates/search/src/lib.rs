//! Gradient-free multi-objective search as a step machine: ask, tell, snapshot. Knows nothing of vehicles; no I/O, no clock, no threads, no serde.
