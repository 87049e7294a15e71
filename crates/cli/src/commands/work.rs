//! `work`: a worker process.

use serde_json::json;
use service::Problem;
use store::Options;

use crate::exit::Outcome;
use crate::output;
use crate::runtime::{asked_to_stop, block_on, log_to_stderr, open_store};
use crate::server_args::Work;
use crate::workers::Workers;

/// Works until the process is asked to stop.
pub fn work(args: &Work, json: bool) -> Result<Outcome, Problem> {
    log_to_stderr("warn");
    block_on(run(args, json))?
}

async fn run(args: &Work, json: bool) -> Result<Outcome, Problem> {
    let store = open_store(&Options {
        lease: args.lease.duration(),
        // The server and `migrate` do; a worker that was upgraded first waits for them.
        migrate: false,
        ..args.store.options()?
    })
    .await?;
    let workers = Workers::start(&store, args.workers, args.name.clone())?;
    if let Some(name) = workers.name() {
        announce(name, json)?;
    }
    asked_to_stop().await;
    workers.stop().await;
    Ok(Outcome::Done)
}

fn announce(name: &str, json: bool) -> Result<(), Problem> {
    let build = work::build_id();
    if json {
        return output::line(&json!({ "worker": name, "build": build }).to_string());
    }
    eprintln!("worker {name}, build {build}");
    Ok(())
}
