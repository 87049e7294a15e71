//! `export` and `import`: a finished job as one file.

use std::path::Path;

use serde_json::json;
use service::{JOB_FILE_TYPE, Limits, Problem};

use crate::commands::jobs::{client, segment};
use crate::exit::Outcome;
use crate::job_args::{Export, Import};
use crate::{files, output};

/// Writes a job that is over to one file.
pub fn export(args: &Export, json: bool) -> Result<Outcome, Problem> {
    let id = segment(&args.id)?;
    let path = format!("/v1/jobs/{id}/export");
    let file = client(&args.server)?.get_text(&path, JOB_FILE_TYPE)?;
    if args.output == Path::new("-") {
        output::raw(&file)?;
        return Ok(Outcome::Done);
    }
    files::write(&args.output, &file)?;
    if json {
        output::json(&json!({ "id": id, "bytes": file.len() }))?;
    } else {
        output::line(&format!("{} bytes written", file.len()))?;
    }
    Ok(Outcome::Done)
}

/// Takes a job into a server's store.
pub fn import(args: &Import, json: bool) -> Result<Outcome, Problem> {
    let file = files::read_up_to(&args.file, Limits::default().job_file_bytes as u64)?;
    let job = client(&args.server)?.post_as("/v1/imports", &file, JOB_FILE_TYPE)?;
    if json {
        output::json(&job)?;
    } else {
        output::line(job["id"].as_str().unwrap_or_default())?;
    }
    Ok(Outcome::Done)
}
