//! `watch`: follows a job by its events until it is over.

use std::io::{BufRead, BufReader};
use std::time::Duration;

use serde_json::Value;
use service::{Kind, Problem};

use crate::args::Watch;
use crate::client::Client;
use crate::commands::jobs::{client, segment};
use crate::exit::Outcome;
use crate::output;
use crate::progress::Progress;

/// A broken stream is taken up again this often without an event in between.
const TRIES: u32 = 60;

/// Follows a job.
pub fn watch(args: &Watch, json: bool) -> Result<Outcome, Problem> {
    follow(&client(&args.server)?, segment(&args.id)?, json)
}

/// Follows a job: with `json` one event a line on standard output, else a bar.
pub fn follow(client: &Client, id: &str, json: bool) -> Result<Outcome, Problem> {
    let job = client.get(&format!("/v1/jobs/{id}"))?;
    let bar = Progress::new(job["planned_evaluations"].as_u64().unwrap_or(0), json);
    let mut last = 0;
    let mut tries = 0;
    let outcome = loop {
        let before = last;
        match stream(client, id, &mut last, |event| show(event, &bar, json)) {
            Ok(Some(outcome)) => break outcome,
            Ok(None) => {}
            Err(problem) if !passing(&problem) || tries == TRIES => return Err(problem),
            Err(_) => {}
        }
        tries = if last > before { 0 } else { tries + 1 };
        if tries > TRIES {
            let detail = "the event stream ends again and again before the job is over";
            return Err(Problem::new(Kind::ServerUnreachable, detail));
        }
        std::thread::sleep(Duration::from_millis(500));
    };
    bar.finish();
    if !json {
        let job = client.get(&format!("/v1/jobs/{id}"))?;
        output::line(&sentence(&job))?;
    }
    Ok(outcome)
}

fn passing(problem: &Problem) -> bool {
    problem.is(Kind::ServerUnreachable) || problem.is(Kind::Busy)
}

fn sentence(job: &Value) -> String {
    let state = job["state"].as_str().unwrap_or("unknown");
    match job["reason"].as_str() {
        Some(reason) => format!("{state}: {reason}"),
        None => state.to_owned(),
    }
}

fn show(event: &Value, bar: &Progress, json: bool) -> Result<(), Problem> {
    if json {
        return output::line(&event.to_string());
    }
    if event["kind"] == "progress" {
        bar.show(&event["body"]);
    }
    Ok(())
}

/// Reads one stream to its end; the outcome is there once the job is over.
fn stream(
    client: &Client,
    id: &str,
    last: &mut u64,
    mut show: impl FnMut(&Value) -> Result<(), Problem>,
) -> Result<Option<Outcome>, Problem> {
    let after = (*last > 0).then_some(*last);
    let lines = BufReader::new(client.events(&format!("/v1/jobs/{id}/events"), after)?).lines();
    for line in lines {
        let line = line.map_err(|error| {
            Problem::new(
                Kind::ServerUnreachable,
                format!("the event stream broke: {error}"),
            )
        })?;
        let Some(data) = line.strip_prefix("data:") else {
            continue;
        };
        let Ok(event) = serde_json::from_str::<Value>(data.trim_start()) else {
            continue;
        };
        *last = event["number"].as_u64().unwrap_or(*last);
        show(&event)?;
        match event["kind"].as_str() {
            Some("done") => return Ok(Some(Outcome::Done)),
            Some("failed" | "cancelled") => return Ok(Some(Outcome::NoResult)),
            _ => {}
        }
    }
    Ok(None)
}
