//! A finished job as one file, to be carried to another store: JSON lines (UTF-8, a line feed behind
//! each line), each an object with one member whose name says what the line is.
//!
//! ```text
//! {"format":{"name":"leanwright job","version":1}}
//! {"job":{"id":"00f1e2d3c4b5a697","kind":"search","state":"done", … }}    times in ms since 1970
//! {"input":{"text":"{ … }"}}                the submitted bytes, exactly
//! {"starts":{"text":"{ … }"}}               where the search started from, if from another job
//! {"progress":{"text":"{ … }"}}             the last figures, if there were any
//! {"event":{"number":1,"kind":"submitted","at_ms":1790000000000,"body":{"text":"{}"}}}   …
//! {"checkpoint":{"epoch":19,"island":0,"build":"…","bytes":{"base64":"…"}}}             …
//! {"front":{"sha256":"…","published_at_ms":1790000000000,"body":{"text":"{ … }"}}}
//! {"candidate":{"number":0,"body":{"text":"{ … }"}}}                                    …
//! {"end":{"lines":17,"sha256":"…"}}         of the 17 lines before, line feeds included
//! ```
//!
//! Bytes are `text` where they are UTF-8 and `base64` (RFC 4648, padded) where not. Lines come in
//! this order. The idempotency key of the submission stays behind: it is a promise of the server
//! that it was sent to.

mod lines;

use std::fmt::Display;
use std::str::from_utf8;

use sha2::{Digest, Sha256};
use store::{
    Event, Exported, ExportedCheckpoint, ExportedResult, Job, JobInput, JobKind, SliceKey,
    StoredFront,
};
use work::FrontDocument;

use self::lines::{CandidateLine, End, Format, FrontLine, JobLine, Line};
use crate::problem::Problem;
use crate::problem_kind::Kind;

/// The media type of such a file; JSON lines have no registered one.
pub const MEDIA_TYPE: &str = "application/jsonl";

const NAME: &str = "leanwright job";
const VERSION: u32 = 1;

/// The job as a file.
pub fn write(exported: Exported) -> Vec<u8> {
    let Exported {
        job,
        inputs,
        events,
        checkpoints,
        result,
    } = exported;
    let progress = job.progress.clone();
    let mut lines = vec![
        Line::Format(Format {
            name: NAME.to_owned(),
            version: VERSION,
        }),
        Line::Job(Box::new(job.into())),
        Line::Input(inputs.input.into()),
    ];
    lines.extend(inputs.starts.map(|starts| Line::Starts(starts.into())));
    lines.extend(progress.map(|progress| Line::Progress(progress.into())));
    lines.extend(events.into_iter().map(|event| Line::Event(event.into())));
    let checkpoints = checkpoints.into_iter();
    lines.extend(checkpoints.map(|kept| Line::Checkpoint(kept.into())));
    if let Some(ExportedResult { front, candidates }) = result {
        lines.push(Line::Front(FrontLine {
            sha256: front.sha256,
            published_at_ms: front.published_at,
            body: front.body.into(),
        }));
        let numbered = candidates.into_iter().zip(0..);
        lines.extend(numbered.map(|(body, number)| {
            Line::Candidate(CandidateLine {
                number,
                body: body.into(),
            })
        }));
    }
    closed(lines)
}

fn closed(lines: Vec<Line>) -> Vec<u8> {
    let mut file = vec![];
    let count = lines.len();
    for line in lines {
        put(&mut file, &line);
    }
    let sha256 = sha256(&file);
    put(
        &mut file,
        &Line::End(End {
            lines: count,
            sha256,
        }),
    );
    file
}

fn put(file: &mut Vec<u8>, line: &Line) {
    // Texts and numbers only, so writing can't fail.
    file.extend(serde_json::to_vec(line).expect("plain data"));
    file.push(b'\n');
}

/// Reads such a file: whole, unchanged, and of a result that this build can show.
///
/// # Errors
/// [`Kind::BadJobFile`] with what is wrong.
pub fn read(file: &[u8]) -> Result<Exported, Problem> {
    let text = whole(file)?;
    let mut parts = Parts::default();
    for (number, line) in text.lines().enumerate().skip(1) {
        let at = |why: String| bad(format!("line {}: {why}", number + 1));
        let line = serde_json::from_str(line).map_err(|fault| at(fault.to_string()))?;
        parts.take(line).map_err(at)?;
    }
    parts.join().map_err(bad)
}

/// The lines before the last, when the first says that this build can read them and the last that
/// nothing is missing or changed.
fn whole(file: &[u8]) -> Result<&str, Problem> {
    let foreign = || bad("it does not begin as a job exported by this program does");
    let first = file.split(|byte| *byte == b'\n').next().unwrap_or_default();
    match serde_json::from_slice(first) {
        Ok(Line::Format(Format { name, .. })) if name != NAME => return Err(foreign()),
        Ok(Line::Format(Format { version, .. })) if version != VERSION => {
            let detail = format!("it is of version {version}; this build reads version {VERSION}");
            return Err(bad(detail));
        }
        Ok(Line::Format(_)) => {}
        _ => return Err(foreign()),
    }
    let cut = || bad("it is cut off: its last line does not close it");
    let without = file.strip_suffix(b"\n").ok_or_else(cut)?;
    let begin = without.iter().rposition(|byte| *byte == b'\n');
    let (before, last) = without.split_at(begin.ok_or_else(cut)? + 1);
    let Ok(Line::End(end)) = serde_json::from_slice(last) else {
        return Err(cut());
    };
    let lines = before.iter().filter(|byte| **byte == b'\n').count();
    let found = sha256(before);
    if (end.lines, &end.sha256) != (lines, &found) {
        return Err(bad(format!(
            "it is damaged: {lines} lines with SHA-256 {found}, where its last line says {} lines \
             with {}",
            end.lines, end.sha256
        )));
    }
    from_utf8(before).map_err(|fault| bad(format!("not UTF-8: {fault}")))
}

/// What has been read so far.
#[derive(Default)]
struct Parts {
    job: Option<JobLine>,
    input: Option<Vec<u8>>,
    starts: Option<Vec<u8>>,
    progress: Option<Vec<u8>>,
    events: Vec<Event>,
    checkpoints: Vec<ExportedCheckpoint>,
    front: Option<StoredFront>,
    candidates: Vec<Vec<u8>>,
}

impl Parts {
    fn take(&mut self, line: Line) -> Result<(), String> {
        match line {
            Line::Format(_) | Line::End(_) => return Err("it stands in the wrong place".into()),
            Line::Job(job) => once(&mut self.job, *job)?,
            Line::Input(blob) => once(&mut self.input, blob.bytes()?)?,
            Line::Starts(blob) => once(&mut self.starts, blob.bytes()?)?,
            Line::Progress(blob) => once(&mut self.progress, blob.bytes()?)?,
            Line::Event(line) => self.events.push(Event {
                number: line.number,
                kind: line.kind,
                at: line.at_ms,
                body: line.body.bytes()?,
            }),
            Line::Checkpoint(line) => self.checkpoints.push(ExportedCheckpoint {
                key: SliceKey {
                    epoch: line.epoch,
                    island: line.island,
                },
                build: line.build,
                bytes: line.bytes.bytes()?,
            }),
            Line::Front(line) => {
                let front = StoredFront {
                    sha256: line.sha256,
                    published_at: line.published_at_ms,
                    body: line.body.bytes()?,
                };
                once(&mut self.front, front)?;
            }
            Line::Candidate(line) => {
                if line.number as usize != self.candidates.len() {
                    let due = self.candidates.len();
                    return Err(format!("candidate {} where {due} is due", line.number));
                }
                self.candidates.push(line.body.bytes()?);
            }
        }
        Ok(())
    }

    fn join(self) -> Result<Exported, String> {
        let job = self.job.ok_or("it holds no job")?.job(self.progress)?;
        let inputs = JobInput {
            input: self.input.ok_or("it holds no input")?,
            starts: self.starts,
        };
        let result = match self.front {
            Some(front) => Some(ExportedResult {
                front,
                candidates: self.candidates,
            }),
            None if self.candidates.is_empty() => None,
            None => return Err("it holds candidates without a front".into()),
        };
        if let Some(result) = &result {
            check_result(&job, result)?;
        }
        serde_json::from_slice::<serde::de::IgnoredAny>(&inputs.input)
            .map_err(|fault| format!("its input is not JSON: {fault}"))?;
        Ok(Exported {
            job,
            inputs,
            events: self.events,
            checkpoints: self.checkpoints,
            result,
        })
    }
}

fn once<T>(place: &mut Option<T>, value: T) -> Result<(), String> {
    match place.replace(value) {
        None => Ok(()),
        Some(_) => Err("a line of this kind stands twice".into()),
    }
}

/// What this build could not show later is refused now.
fn check_result(job: &Job, result: &ExportedResult) -> Result<(), String> {
    let unread =
        |what: &str, fault: serde_json::Error| format!("this build cannot read {what}: {fault}");
    if job.kind == JobKind::AsBuilt.as_str() {
        let read = serde_json::from_slice::<design::AsBuiltFit>(&result.front.body);
        return read.map(drop).map_err(|fault| unread("its fit", fault));
    }
    if job.kind != JobKind::Search.as_str() {
        return Ok(());
    }
    let front: FrontDocument =
        serde_json::from_slice(&result.front.body).map_err(|fault| unread("its front", fault))?;
    for (body, number) in result.candidates.iter().zip(0..) {
        serde_json::from_slice::<design::Candidate>(body)
            .map_err(|fault| unread(&format!("candidate {number}"), fault))?;
    }
    let (rows, bodies) = (front.candidates.len(), result.candidates.len());
    match rows == bodies {
        true => Ok(()),
        false => Err(format!(
            "its front has {rows} candidates; the file holds {bodies}"
        )),
    }
}

fn bad(detail: impl Display) -> Problem {
    Problem::new(
        Kind::BadJobFile,
        format!("the file cannot be taken in: {detail}"),
    )
}

fn sha256(bytes: &[u8]) -> String {
    let digest = Sha256::digest(bytes);
    digest.iter().map(|byte| format!("{byte:02x}")).collect()
}
