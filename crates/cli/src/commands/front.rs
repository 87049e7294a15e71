//! `front`: the front of a job on a server, or one candidate of it.

use design::Candidate;
use serde::Deserialize;
use service::{Kind, Problem};
use work::FrontDocument;

use crate::args::Front as Arguments;
use crate::client::Client;
use crate::commands::jobs::{client, segment};
use crate::exit::Outcome;
use crate::front_view::Front;
use crate::output;

/// Prints a front or one of its candidates.
pub fn front(args: &Arguments, json: bool) -> Result<Outcome, Problem> {
    let client = client(&args.server)?;
    let id = segment(&args.id)?;
    if let Some(n) = args.candidate {
        return candidate(&client, id, n, json);
    }
    let front = fetch(&client, id)?;
    if let Some(folder) = &args.out {
        front.write(folder)?;
    }
    print(&front, args.csv, json)?;
    Ok(front.outcome())
}

/// Prints a front in the form asked for.
pub fn print(front: &Front, csv: bool, json: bool) -> Result<(), Problem> {
    if json {
        return output::line(&front.text);
    }
    if csv {
        return output::line(front.csv().trim_end());
    }
    output::line(&front.table())?;
    eprintln!("{}", front.remarks());
    Ok(())
}

fn candidate(client: &Client, id: &str, n: u32, json: bool) -> Result<Outcome, Problem> {
    let found = client.get(&format!("/v1/jobs/{id}/candidates/{n}"))?;
    output::json(if json { &found } else { &found["vehicle"] })?;
    Ok(Outcome::Done)
}

fn fetch(client: &Client, id: &str) -> Result<Front, Problem> {
    let text = client.get_text(&format!("/v1/jobs/{id}/front"), "application/json")?;
    let document: FrontDocument =
        serde_json::from_str(&text).map_err(|error| unreadable(&error.to_string()))?;
    let candidates = document.candidates.iter().map(|row| {
        let found = client.get(&format!("/v1/jobs/{id}/candidates/{}", row.number))?;
        Candidate::deserialize(found).map_err(|error| unreadable(&error.to_string()))
    });
    let candidates = candidates.collect::<Result<_, _>>()?;
    let job = client.get_text(&format!("/v1/jobs/{id}/input"), "application/json")?;
    Ok(Front::new(text, document, candidates, job))
}

fn unreadable(why: &str) -> Problem {
    let detail = format!("the server's front cannot be read by this build: {why}");
    Problem::new(Kind::ServerUnreachable, detail)
}
