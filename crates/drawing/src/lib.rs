//! Pictures and workshop output as pure functions of a candidate: script-free SVG, tables,
//! reports. No store, no I/O, no clock.
//!
//! Pictures are written by a plain SVG writer of this crate. The general plotting crates at hand
//! draw axes well, but neither write `<title>` and `<desc>`, nor leave colours to a stylesheet,
//! nor know projections of a linkage; two hundred lines of our own do, and the files stay small.

mod axes;
mod bands;
mod bars;
mod canvas;
mod chart;
mod contour;
mod escape;
mod export;
mod figure;
mod ink;
mod map;
mod parts;
mod path;
mod picture;
mod report;
mod scale;
mod scatter;
mod view;

pub use bars::{BarRow, bars};
pub use chart::{Chart, ChartLine, chart};
pub use escape::escape;
pub use export::{
    Cells, Column, Sheet, as_built_sheet, columns, front_sheet, hardpoint_sheet, poses,
};
pub use ink::{Dash, Ink};
pub use map::{Map, MapAxis, map};
pub use parts::pose_parts;
pub use picture::Picture;
pub use report::{
    AsBuiltReport, CandidateReport, Gallery, JobReport, NoPicture, Subject, Wanted,
    as_built_report, candidate_report, comparison_report, ink_sheet, job_pictures, job_report,
    report_policy, vehicle_report,
};
pub use scatter::{Front, FrontGoal, FrontPoint, front};
pub use view::{Aspect, Posed, ViewText, view};
