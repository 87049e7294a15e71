//! Reports: one self-contained HTML file each, without script, for screen, phone and paper.

mod as_built;
mod asked;
mod candidate;
mod choice;
mod closing;
mod compared;
mod curves;
mod draft;
mod gallery;
mod html;
mod job;
mod maps;
mod pictures;
mod points;
mod portrait;
mod slopes;
mod strength;
mod study;
mod style;
mod values;

pub use as_built::{AsBuiltReport, as_built_report};
pub use candidate::{CandidateReport, candidate_report, comparison_report, vehicle_report};
pub use draft::{NoPicture, Wanted};
pub use gallery::{Gallery, Subject, job_pictures};
pub use job::{JobReport, job_report};
pub use style::{ink_sheet, report_policy};

const MAP_TEXT: &str = "Lean across, steer upwards; steer is the angle of one wheel in the middle \
    of the front axle for the turn that is made. The outline holds the balanced turns of the \
    reach. One colour means the same error in every map. The error counts against rolling \
    without scrub about the mean turn centre.";
