//! The commands, one file each.

pub mod compare;
pub mod fit;
pub mod forms;
pub mod front;
pub mod jobs;
pub mod life;
pub mod migrate;
pub mod ready;
pub mod run;
pub mod serve;
pub mod single;
pub mod study;
pub mod transfer;
pub mod vehicles;
pub mod watch;
pub mod work;
