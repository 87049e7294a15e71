//! Pictures and workshop output as pure functions of a candidate: script-free SVG, tables. No I/O, no store.
