//! `serve`: the HTTP interface with workers in the same process.

use serde_json::json;
use service::{App, Hosts, Kind, Limits, ListenError, Problem, Setup, listen, router};
use store::Options;

use crate::exit::Outcome;
use crate::output;
use crate::runtime::{self, asked_to_stop, open_store};
use crate::server_args::Serve;
use crate::workers::Workers;

/// Connections to PostgreSQL: enough for callers and the workers of this process.
const CONNECTIONS: u32 = 10;

/// Serves until the process is asked to stop.
pub fn serve(args: &Serve, json: bool) -> Result<Outcome, Problem> {
    runtime::log_to_stderr("warn");
    runtime::block_on(run(args, json))?
}

async fn run(args: &Serve, json: bool) -> Result<Outcome, Problem> {
    let token = args.token_file.as_deref().map(crate::token).transpose()?;
    let listener = listen(args.listen, token.as_ref())
        .await
        .map_err(|error| refused(&error))?;
    let address = listener.local_addr().unwrap_or(args.listen);
    let store = open_store(&Options {
        lease: args.lease.duration(),
        connections: CONNECTIONS,
        ..args.store.options()?
    })
    .await?;
    let setup = Setup {
        limits: Limits::default(),
        hosts: Hosts::new(&address, &args.hosts),
        token,
    };
    let app = App::new(store.clone(), setup)
        .map_err(|error| Problem::new(Kind::Internal, format!("no thread: {error}")))?;
    let workers = Workers::start(&store, args.workers, None)?;
    announce(&format!("http://{address}"), json)?;
    let serving = service::serve(listener, router(app.clone()), app.clone());
    let stopping = async {
        asked_to_stop().await;
        app.stop();
    };
    tokio::join!(serving, stopping);
    workers.stop().await;
    store.close().await;
    Ok(Outcome::Done)
}

fn announce(address: &str, json: bool) -> Result<(), Problem> {
    if json {
        return output::line(&json!({ "listening": address }).to_string());
    }
    eprintln!("listening on {address}");
    Ok(())
}

fn refused(error: &ListenError) -> Problem {
    let kind = match error {
        ListenError::TokenRequired(_) => Kind::Usage,
        ListenError::Refused(..) => Kind::CannotListen,
    };
    Problem::new(kind, error.to_string())
}
