//! The lines of a job's file, and what the store holds as lines.

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use serde::{Deserialize, Serialize};
use store::{Event, ExportedCheckpoint, Job, JobId, JobState, Priority};

#[derive(Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub(super) enum Line {
    Format(Format),
    Job(Box<JobLine>),
    Input(Blob),
    Starts(Blob),
    Progress(Blob),
    Event(EventLine),
    Checkpoint(CheckpointLine),
    Front(FrontLine),
    Candidate(CandidateLine),
    End(End),
}

#[derive(Serialize, Deserialize)]
pub(super) struct Format {
    pub(super) name: String,
    pub(super) version: u32,
}

#[derive(Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub(super) enum Blob {
    Text(String),
    Base64(String),
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct JobLine {
    pub(super) id: String,
    pub(super) kind: String,
    pub(super) caller: String,
    pub(super) name: String,
    pub(super) labels: Vec<String>,
    pub(super) priority: String,
    pub(super) state: String,
    pub(super) paused: bool,
    pub(super) reason: Option<String>,
    pub(super) input_sha256: String,
    pub(super) islands: u32,
    pub(super) epochs: u32,
    pub(super) asked_epochs: Option<u32>,
    pub(super) first_epoch: u32,
    pub(super) planned: u64,
    pub(super) build: Option<String>,
    pub(super) parent: Option<String>,
    pub(super) last_event: u64,
    pub(super) keep_days: Option<u32>,
    pub(super) created_at_ms: i64,
    pub(super) started_at_ms: Option<i64>,
    pub(super) finished_at_ms: Option<i64>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct EventLine {
    pub(super) number: u64,
    pub(super) kind: String,
    pub(super) at_ms: i64,
    pub(super) body: Blob,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct CheckpointLine {
    pub(super) epoch: u32,
    pub(super) island: u32,
    pub(super) build: String,
    pub(super) bytes: Blob,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct FrontLine {
    pub(super) sha256: String,
    pub(super) published_at_ms: i64,
    pub(super) body: Blob,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct CandidateLine {
    pub(super) number: u32,
    pub(super) body: Blob,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct End {
    pub(super) lines: usize,
    pub(super) sha256: String,
}

impl From<Vec<u8>> for Blob {
    fn from(bytes: Vec<u8>) -> Blob {
        match String::from_utf8(bytes) {
            Ok(text) => Blob::Text(text),
            Err(other) => Blob::Base64(STANDARD.encode(other.as_bytes())),
        }
    }
}

impl Blob {
    pub(super) fn bytes(self) -> Result<Vec<u8>, String> {
        match self {
            Blob::Text(text) => Ok(text.into_bytes()),
            Blob::Base64(text) => STANDARD
                .decode(text)
                .map_err(|fault| format!("its base64 cannot be read: {fault}")),
        }
    }
}

impl From<Event> for EventLine {
    fn from(event: Event) -> EventLine {
        EventLine {
            number: event.number,
            kind: event.kind,
            at_ms: event.at,
            body: event.body.into(),
        }
    }
}

impl From<ExportedCheckpoint> for CheckpointLine {
    fn from(kept: ExportedCheckpoint) -> CheckpointLine {
        CheckpointLine {
            epoch: kept.key.epoch,
            island: kept.key.island,
            build: kept.build,
            bytes: kept.bytes.into(),
        }
    }
}

impl From<Job> for JobLine {
    fn from(job: Job) -> JobLine {
        JobLine {
            id: job.id.to_string(),
            kind: job.kind,
            caller: job.caller,
            name: job.name,
            labels: job.labels,
            priority: job.priority.as_str().to_owned(),
            state: job.state.as_str().to_owned(),
            paused: job.paused,
            reason: job.reason,
            input_sha256: job.input_sha256,
            islands: job.islands,
            epochs: job.epochs,
            asked_epochs: job.asked_epochs,
            first_epoch: job.first_epoch,
            planned: job.planned,
            build: job.build,
            parent: job.parent.map(|parent| parent.to_string()),
            last_event: job.last_event,
            keep_days: job.keep_days,
            created_at_ms: job.created_at,
            started_at_ms: job.started_at,
            finished_at_ms: job.finished_at,
        }
    }
}

impl JobLine {
    pub(super) fn job(self, progress: Option<Vec<u8>>) -> Result<Job, String> {
        let id = |text: &str| {
            JobId::parse(text).ok_or_else(|| format!("`{text}` is not the id of a job"))
        };
        Ok(Job {
            id: id(&self.id)?,
            parent: self.parent.as_deref().map(id).transpose()?,
            priority: Priority::parse(&self.priority)
                .ok_or_else(|| format!("`{}` is no priority", self.priority))?,
            state: JobState::parse(&self.state)
                .ok_or_else(|| format!("`{}` is no state of a job", self.state))?,
            kind: self.kind,
            caller: self.caller,
            name: self.name,
            labels: self.labels,
            paused: self.paused,
            reason: self.reason,
            input_sha256: self.input_sha256,
            islands: self.islands,
            epochs: self.epochs,
            asked_epochs: self.asked_epochs,
            first_epoch: self.first_epoch,
            planned: self.planned,
            build: self.build,
            progress,
            last_event: self.last_event,
            keep_days: self.keep_days,
            created_at: self.created_at_ms,
            started_at: self.started_at_ms,
            finished_at: self.finished_at_ms,
            imported_at: None,
        })
    }
}
