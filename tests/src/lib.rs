//! Whole-system tests of leanwright: HTTP, faults, outside references.
