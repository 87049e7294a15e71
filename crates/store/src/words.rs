//! The words of jobs and slices, the same in the database and at every boundary.

/// The life of a job. `Done`, `Failed` and `Cancelled` are final.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum JobState {
    /// Submitted; no slice has been claimed yet.
    Queued,
    /// At least one slice has been claimed.
    Running,
    /// The result is published.
    Done,
    /// It ended without a result; [`Job::reason`](crate::Job::reason) says why.
    Failed,
    /// A caller stopped it before it was done.
    Cancelled,
}

impl JobState {
    /// All states, in the order of a job's life.
    pub const ALL: [JobState; 5] = [
        JobState::Queued,
        JobState::Running,
        JobState::Done,
        JobState::Failed,
        JobState::Cancelled,
    ];

    /// The word used in the database and at every boundary.
    pub fn as_str(self) -> &'static str {
        match self {
            JobState::Queued => "queued",
            JobState::Running => "running",
            JobState::Done => "done",
            JobState::Failed => "failed",
            JobState::Cancelled => "cancelled",
        }
    }

    /// The state with this word, if there is one.
    pub fn parse(word: &str) -> Option<JobState> {
        JobState::ALL
            .into_iter()
            .find(|state| state.as_str() == word)
    }

    /// Whether the job can change no more.
    pub fn is_final(self) -> bool {
        matches!(
            self,
            JobState::Done | JobState::Failed | JobState::Cancelled
        )
    }
}

/// Which jobs are claimed first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Priority {
    /// Before all others.
    Urgent,
    /// What a job gets unless told otherwise.
    #[default]
    Normal,
    /// Only when nothing else is waiting.
    Background,
}

impl Priority {
    /// All classes, first to last.
    pub const ALL: [Priority; 3] = [Priority::Urgent, Priority::Normal, Priority::Background];

    /// The word used at every boundary.
    pub fn as_str(self) -> &'static str {
        match self {
            Priority::Urgent => "urgent",
            Priority::Normal => "normal",
            Priority::Background => "background",
        }
    }

    /// The class with this word, if there is one.
    pub fn parse(word: &str) -> Option<Priority> {
        Priority::ALL
            .into_iter()
            .find(|class| class.as_str() == word)
    }
}

/// What a slice does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum SliceKind {
    /// One epoch of one island.
    Search,
    /// The islands' archives into one, in island order.
    Merge,
    /// One chosen point, improved on its own budget and rounded to the workshop grid.
    Polish,
    /// Tolerance and the like for one candidate.
    Study,
    /// The result made from what is stored, without computing.
    Publish,
}

impl SliceKind {
    /// All kinds, in the order in which a job runs through them.
    pub const ALL: [SliceKind; 5] = [
        SliceKind::Search,
        SliceKind::Merge,
        SliceKind::Polish,
        SliceKind::Study,
        SliceKind::Publish,
    ];

    /// The word used in the database and in events.
    pub fn as_str(self) -> &'static str {
        match self {
            SliceKind::Search => "search",
            SliceKind::Merge => "merge",
            SliceKind::Polish => "polish",
            SliceKind::Study => "study",
            SliceKind::Publish => "publish",
        }
    }

    /// The kind with this word, if there is one.
    pub fn parse(word: &str) -> Option<SliceKind> {
        SliceKind::ALL
            .into_iter()
            .find(|kind| kind.as_str() == word)
    }
}
