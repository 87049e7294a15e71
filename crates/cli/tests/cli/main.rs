//! The binary as a script sees it: output, exit codes, files, signals.

mod alone;
mod process;
mod runs;
mod served;
