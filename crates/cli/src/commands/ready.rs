//! `ready`.

use service::Problem;

use crate::args::Ready;
use crate::commands::jobs::client;
use crate::exit::Outcome;
use crate::output;

/// Asks a server once whether it and its store answer.
pub fn ready(args: &Ready, json: bool) -> Result<Outcome, Problem> {
    let health = client(&args.server)?.get("/readyz")?;
    if json {
        output::json(&health)?;
    } else {
        output::line("ready")?;
    }
    Ok(Outcome::Done)
}
