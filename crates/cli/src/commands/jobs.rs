//! `submit` and `cancel`.

use serde_json::Value;
use service::Problem;

use crate::args::{JobOnServer, Server, Submit};
use crate::client::Client;
use crate::commands::{life, watch};
use crate::exit::Outcome;
use crate::{files, output};

/// Sends a job to a server.
pub fn submit(args: &Submit, json: bool) -> Result<Outcome, Problem> {
    let text = files::read_json(&args.job)?;
    let client = client(&args.server)?;
    let path = format!("/v1/jobs{}", life::said(&args.life)?);
    let job = client.post(&path, &text, args.key.as_deref())?;
    let id = job["id"].as_str().unwrap_or_default();
    if json {
        output::json(&job)?;
    } else {
        output::line(id)?;
        notices(&job);
    }
    if args.watch {
        watch::follow(&client, id, json)
    } else {
        Ok(Outcome::Done)
    }
}

/// Says on standard error what the submission showed.
pub fn notices(job: &Value) {
    let budget = &job["budget"];
    let (asked, spent) = (&budget["asked"], &budget["evaluations"]);
    if asked != spent {
        eprintln!("{asked} evaluations were asked for; rounded up to {spent}");
    }
    for finding in job["findings"].as_array().into_iter().flatten() {
        let place = finding["pointer"].as_str().unwrap_or_default();
        let message = finding["message"].as_str().unwrap_or_default();
        eprintln!("note: {place}: {message}");
    }
}

/// Cancels a job.
pub fn cancel(args: &JobOnServer, json: bool) -> Result<Outcome, Problem> {
    let client = client(&args.server)?;
    let path = format!("/v1/jobs/{}/cancel", segment(&args.id)?);
    let job = client.post(&path, "", None)?;
    if json {
        output::json(&job)?;
    } else {
        output::line(job["state"].as_str().unwrap_or_default())?;
    }
    Ok(Outcome::Done)
}

/// The client for a server.
pub fn client(server: &Server) -> Result<Client, Problem> {
    let token = server.token_file.as_deref().map(crate::token).transpose()?;
    Ok(Client::new(&server.server, token))
}

/// A job id that is safe to put into a path.
pub fn segment(id: &str) -> Result<&str, Problem> {
    if !id.is_empty() && id.chars().all(|c| c.is_ascii_alphanumeric()) {
        Ok(id)
    } else {
        Err(Problem::not_found("job", id))
    }
}
