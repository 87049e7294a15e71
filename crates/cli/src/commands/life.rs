//! `jobs`, `pause`, `resume`, `change`, `extend`, `restart` and `delete`.

use serde_json::{Map, Value, json};
use service::{Kind, Problem};

use crate::args::JobOnServer;
use crate::commands::jobs::{client, segment};
use crate::commands::watch;
use crate::exit::Outcome;
use crate::job_args::{Change, Extend, Jobs, Life};
use crate::output;
use crate::query::query;
use crate::table::Table;

/// Lists jobs, newest first.
pub fn list(args: &Jobs, json: bool) -> Result<Outcome, Problem> {
    let limit = args.limit.to_string();
    let query = query(&[
        ("state", args.state.as_deref()),
        ("name", args.name.as_deref()),
        ("label", args.label.as_deref()),
        ("parent", args.parent.as_deref()),
        ("cursor", args.cursor.as_deref()),
        ("limit", Some(&limit)),
    ]);
    let page = client(&args.server)?.get(&format!("/v1/jobs{query}"))?;
    if json {
        output::json(&page)?;
        return Ok(Outcome::Done);
    }
    output::line(&table(&page["jobs"]))?;
    if let Some(next) = page["next_cursor"].as_str() {
        eprintln!("more with --cursor {next}");
    }
    Ok(Outcome::Done)
}

fn table(jobs: &Value) -> String {
    let heads = [
        "job",
        "state",
        "priority",
        "evaluations",
        "submitted",
        "labels",
        "name",
    ];
    let mut table = Table::new(heads.map(str::to_owned));
    for job in jobs.as_array().into_iter().flatten() {
        let text = |name: &str| job[name].as_str().unwrap_or_default().to_owned();
        let state = match job["paused"].as_bool() {
            Some(true) => format!("{}, paused", text("state")),
            _ => text("state"),
        };
        let labels = job["labels"].as_array().into_iter().flatten();
        let labels: Vec<&str> = labels.filter_map(Value::as_str).collect();
        let planned = job["planned_evaluations"].to_string();
        let spent = job["progress"]["evaluations"].as_u64().unwrap_or(0);
        table.row(vec![
            text("id"),
            state,
            text("priority"),
            format!("{spent} of {planned}"),
            text("created_at"),
            labels.join(", "),
            text("name"),
        ]);
    }
    table.text()
}

/// Blocks claims on a job, or allows them again.
pub fn set_paused(args: &JobOnServer, paused: bool, json: bool) -> Result<Outcome, Problem> {
    let request = if paused { "pause" } else { "resume" };
    let path = format!("/v1/jobs/{}/{request}", segment(&args.id)?);
    let job = client(&args.server)?.post(&path, "", None)?;
    show(&job, json)
}

/// Changes priority, labels or days to be kept.
pub fn change(args: &Change, json: bool) -> Result<Outcome, Problem> {
    let mut body = Map::new();
    if let Some(class) = args.priority {
        body.insert("priority".into(), class.word().into());
    }
    if args.no_labels || !args.labels.is_empty() {
        body.insert("labels".into(), json!(args.labels));
    }
    if args.keep || args.keep_days.is_some() {
        body.insert("keep_days".into(), json!(args.keep_days));
    }
    if body.is_empty() {
        let detail =
            "nothing to change: give --priority, --label, --no-labels, --keep-days or --keep";
        return Err(Problem::new(Kind::Usage, detail));
    }
    let path = format!("/v1/jobs/{}", segment(&args.id)?);
    let job = client(&args.server)?.patch(&path, &Value::Object(body).to_string())?;
    show(&job, json)
}

/// Makes a longer run of a finished job.
pub fn extend(args: &Extend, json: bool) -> Result<Outcome, Problem> {
    let client = client(&args.server)?;
    let path = format!("/v1/jobs/{}/extend", segment(&args.id)?);
    let body = json!({ "evaluations": args.evaluations });
    let job = client.post(&path, &body.to_string(), None)?;
    let id = job["id"].as_str().unwrap_or_default();
    if json {
        output::json(&job)?;
    } else {
        output::line(id)?;
    }
    if args.watch {
        watch::follow(&client, id, json)
    } else {
        Ok(Outcome::Done)
    }
}

/// Starts an open job again.
pub fn restart(args: &JobOnServer, json: bool) -> Result<Outcome, Problem> {
    let path = format!("/v1/jobs/{}/restart", segment(&args.id)?);
    show(&client(&args.server)?.post(&path, "", None)?, json)
}

/// Deletes a job with all that belongs to it.
pub fn delete(args: &JobOnServer, json: bool) -> Result<Outcome, Problem> {
    let id = segment(&args.id)?;
    client(&args.server)?.delete(&format!("/v1/jobs/{id}"))?;
    if json {
        output::json(&json!({ "deleted": id }))?;
    } else {
        output::line("deleted")?;
    }
    Ok(Outcome::Done)
}

/// What a submission says beside its file, as a query.
pub fn said(life: &Life) -> Result<String, Problem> {
    if let Some(label) = life.labels.iter().find(|label| label.contains(',')) {
        let detail = format!("--label {label}: a label given here has no comma; use `change`");
        return Err(Problem::new(Kind::Usage, detail));
    }
    let labels = (!life.labels.is_empty()).then(|| life.labels.join(","));
    let days = life.keep_days.map(|days| days.to_string());
    Ok(query(&[
        ("parent", life.parent.as_deref()),
        ("priority", life.priority.map(|class| class.word())),
        ("labels", labels.as_deref()),
        ("keep_days", days.as_deref()),
    ]))
}

/// Prints a job's state, or all of it.
pub fn show(job: &Value, json: bool) -> Result<Outcome, Problem> {
    if json {
        output::json(job)?;
        return Ok(Outcome::Done);
    }
    let state = job["state"].as_str().unwrap_or_default();
    let paused = if job["paused"] == true {
        ", paused"
    } else {
        ""
    };
    output::line(&format!("{state}{paused}"))?;
    Ok(Outcome::Done)
}
