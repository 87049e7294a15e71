//! Arguments of the commands that run beside a store.

use std::net::SocketAddr;
use std::path::PathBuf;

use clap::Args;

use crate::store_place::{Lease, StorePlace};

/// `serve`
#[derive(Debug, Args)]
pub struct Serve {
    /// Address to listen on. Any other than the own machine's requires --token-file.
    #[arg(long, default_value = "127.0.0.1:8080", overrides_with = "listen")]
    pub listen: SocketAddr,
    /// The store, made when absent.
    #[command(flatten)]
    pub store: StorePlace,
    /// How long claims hold.
    #[command(flatten)]
    pub lease: Lease,
    /// Worker threads; by default one per core. 0 only serves.
    #[arg(long, value_parser = clap::value_parser!(u32).range(0..=1024))]
    pub workers: Option<u32>,
    /// File holding the token that callers must present.
    #[arg(long, env = "LEANWRIGHT_TOKEN_FILE")]
    pub token_file: Option<PathBuf>,
    /// Further host name that this server is known by; may be repeated.
    #[arg(long = "host", value_name = "NAME")]
    pub hosts: Vec<String>,
}

/// `work`
#[derive(Debug, Args)]
pub struct Work {
    /// The store. On SQLite one process at a time has it, so workers beside a server need PostgreSQL.
    #[command(flatten)]
    pub store: StorePlace,
    /// Worker threads; by default one per core.
    #[arg(long, value_parser = clap::value_parser!(u32).range(1..=1024))]
    pub workers: Option<u32>,
    /// What the worker's name begins with, by default the machine's name; process and random digits
    /// follow.
    #[arg(long, value_parser = worker_name)]
    pub name: Option<String>,
    /// How long claims hold.
    #[command(flatten)]
    pub lease: Lease,
}

/// `migrate`
#[derive(Debug, Args)]
pub struct Migrate {
    /// The store, made when absent.
    #[command(flatten)]
    pub store: StorePlace,
}

fn worker_name(text: &str) -> Result<String, String> {
    let allowed =
        |letter: char| letter.is_ascii_alphanumeric() || matches!(letter, '-' | '.' | '_');
    match text.chars().all(allowed) && (1..=60).contains(&text.len()) {
        true => Ok(text.to_owned()),
        false => Err("1 to 60 letters, digits, - . or _ are allowed".to_owned()),
    }
}
