//! The caps of the service, in one place; the OpenAPI document states each of them.

use std::time::Duration;

/// Caps and time-outs. The defaults are what the OpenAPI document states.
#[derive(Clone, Debug)]
pub struct Limits {
    /// Largest body of a request, in bytes.
    pub body_bytes: usize,
    /// Largest file of a job from another store, in bytes; no larger one is made.
    pub job_file_bytes: usize,
    /// Such files in memory at a time, coming or going.
    pub job_files: usize,
    /// Time for the head of a request to arrive; an idle connection is closed after it, too.
    pub head_time: Duration,
    /// Time for the whole body of a request to arrive.
    pub body_time: Duration,
    /// A caller who takes nothing of an answer for this long is cut off.
    pub write_time: Duration,
    /// Time from a whole request to the head of its answer.
    pub answer_time: Duration,
    /// Open connections.
    pub connections: usize,
    /// Open event streams.
    pub listeners: usize,
    /// Jobs waiting or running.
    pub open_jobs: u32,
    /// Assessments and poses waiting for the compute thread, and as many reports for theirs.
    pub waiting_assessments: usize,
    /// Candidates in one comparison.
    pub compared_candidates: usize,
    /// Items on one page of a list.
    pub page: u32,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            body_bytes: 1 << 20,
            job_file_bytes: 256 << 20,
            job_files: 2,
            head_time: Duration::from_secs(10),
            body_time: Duration::from_secs(15),
            write_time: Duration::from_secs(30),
            answer_time: Duration::from_secs(60),
            connections: 512,
            listeners: 64,
            open_jobs: 1_000,
            waiting_assessments: 16,
            compared_candidates: 64,
            page: 200,
        }
    }
}

impl Limits {
    /// The caps as sentences for the OpenAPI document.
    pub fn describe(&self) -> String {
        format!(
            "Limits: bodies to {} bytes (413), complete within {} s (408), job files of imports and exports to {} bytes within {} s, {} \
             at a time (503 with Retry-After); request heads within {} s; {} open connections; {} event listeners (503); {} jobs queued or running \
             (503); {} assessments and poses waiting (503 with Retry-After); {} candidates in one \
             comparison; {} items on a page; {} saved vehicles of {} versions each (409). Limits on evaluations, islands and the sizes of the \
             input stand in the schema of the job.",
            self.body_bytes,
            self.body_time.as_secs(),
            self.job_file_bytes,
            self.answer_time.as_secs(),
            self.job_files,
            self.head_time.as_secs(),
            self.connections,
            self.listeners,
            self.open_jobs,
            self.waiting_assessments,
            self.compared_candidates,
            self.page,
            store::MOST_VEHICLES,
            store::MOST_VERSIONS,
        )
    }
}
