//! The leanwright binary: serve, run, submit, watch, front, compare, assess, pose.
fn main() {}
