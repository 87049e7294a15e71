//! Kinds of jobs: which slices a job is made of.
//!
//! # Adding a kind
//!
//! A job without a search, such as one long computation cut off the request path, is a kind of its own
//! with one slice of [`SliceKind::Study`] that does the work, then [`SliceKind::Publish`].
//!
//! 1. Here: a variant with its word, [`JobKind::slices`] (what the slices of its epochs do) and
//!    [`JobKind::follows`] (what is made ready behind its last epoch, when a job goes back there).
//!    Submission, rewind and restart follow from these. A kind of one slice has `islands: 1`,
//!    `epochs: 1` in its [`NewJob`](crate::NewJob); its study is slice (epoch 0, island 0) and tells
//!    the publication at (epoch 1, island 0), with the study's checkpoint kept for that one reader.
//! 2. In the claim's statement (`claim.rs`) its word, so that builds that do not know the kind pass
//!    its jobs over. A build from before kinds does not look: bring the workers up before submitting.
//! 3. In `work`: a branch of `run.rs` by [`Claim::job_kind`](crate::Claim::job_kind) to functions of
//!    its own beside `slices/`. The input comes from [`Store::inputs`](crate::Store::inputs), the end
//!    is [`Store::publish`](crate::Store::publish) with the result's document as `front`.
//! 4. In `service`: the submission with `kind` set, and what of its result the routes of fronts and
//!    candidates can show; the file form of an export holds any kind.

use crate::words::SliceKind;

/// What a job is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum JobKind {
    /// A search for a front.
    #[default]
    Search,
    /// A fit of a machine as built.
    AsBuilt,
}

impl JobKind {
    /// All kinds that this build knows.
    pub const ALL: [JobKind; 2] = [JobKind::Search, JobKind::AsBuilt];

    /// The word used in the database and at every boundary.
    pub fn as_str(self) -> &'static str {
        match self {
            JobKind::Search => "search",
            JobKind::AsBuilt => "as_built",
        }
    }

    /// The kind with this word, if there is one.
    pub fn parse(word: &str) -> Option<JobKind> {
        JobKind::ALL.into_iter().find(|kind| kind.as_str() == word)
    }

    /// What the slices of its epochs do.
    pub fn slices(self) -> SliceKind {
        match self {
            JobKind::Search => SliceKind::Search,
            JobKind::AsBuilt => SliceKind::Study,
        }
    }

    /// What follows its last epoch.
    pub fn follows(self) -> SliceKind {
        match self {
            JobKind::Search => SliceKind::Merge,
            JobKind::AsBuilt => SliceKind::Publish,
        }
    }
}
