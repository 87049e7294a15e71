//! `migrate`: moves a store to the newest schema.

use serde_json::json;
use service::Problem;
use store::Store;

use crate::exit::Outcome;
use crate::output;
use crate::runtime::{block_on, not_opened};
use crate::server_args::Migrate;

/// Migrates the store and says from which version to which.
pub fn migrate(args: &Migrate, json: bool) -> Result<Outcome, Problem> {
    let options = args.store.options()?;
    let migrated = block_on(Store::migrate(&options))?.map_err(|error| not_opened(&error))?;
    let (found, now) = (migrated.found, migrated.now);
    if json {
        output::json(&json!({ "found": found, "now": now }))?;
    } else if found == now {
        output::line(&format!("the store has schema {now} already"))?;
    } else {
        output::line(&format!("the store was moved from schema {found} to {now}"))?;
    }
    Ok(Outcome::Done)
}
