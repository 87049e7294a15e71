//! Arguments of the commands about jobs on a server.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use crate::args::Server;

/// Which jobs' slices are claimed first.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub enum Class {
    /// Before all others.
    Urgent,
    /// As usual.
    Normal,
    /// When nothing else waits.
    Background,
}

impl Class {
    /// The word of the HTTP interface.
    pub fn word(self) -> &'static str {
        match self {
            Self::Urgent => "urgent",
            Self::Normal => "normal",
            Self::Background => "background",
        }
    }
}

/// What may be said about a new job beside its file.
#[derive(Debug, Args)]
pub struct Life {
    /// The job that this one was made from.
    #[arg(long, value_name = "JOB")]
    pub parent: Option<String>,
    /// Which jobs are worked on first.
    #[arg(long, value_enum)]
    pub priority: Option<Class>,
    /// A label to sort jobs by, without a comma; may be repeated.
    #[arg(long = "label", value_name = "LABEL")]
    pub labels: Vec<String>,
    /// Days to keep the job after its end; by default it is kept until it is deleted.
    #[arg(long, value_name = "DAYS", value_parser = clap::value_parser!(u32).range(1..=36_500))]
    pub keep_days: Option<u32>,
}

/// `jobs`
#[derive(Debug, Args)]
pub struct Jobs {
    /// Only jobs in this state: queued, running, done, failed or cancelled.
    #[arg(long)]
    pub state: Option<String>,
    /// Only jobs whose name contains this.
    #[arg(long)]
    pub name: Option<String>,
    /// Only jobs with this label.
    #[arg(long)]
    pub label: Option<String>,
    /// Only jobs that were made from this one.
    #[arg(long, value_name = "JOB")]
    pub parent: Option<String>,
    /// Jobs on a page, 1 to 200.
    #[arg(long, default_value_t = 50)]
    pub limit: u32,
    /// The cursor that the page before ended with.
    #[arg(long)]
    pub cursor: Option<String>,
    /// The server.
    #[command(flatten)]
    pub server: Server,
}

/// `change`
#[derive(Debug, Args)]
pub struct Change {
    /// Job id.
    pub id: String,
    /// Which jobs are worked on first.
    #[arg(long, value_enum)]
    pub priority: Option<Class>,
    /// A label; repeated, these replace all labels that the job has.
    #[arg(long = "label", value_name = "LABEL", conflicts_with = "no_labels")]
    pub labels: Vec<String>,
    /// Take all labels off.
    #[arg(long)]
    pub no_labels: bool,
    /// Days to keep the job after its end.
    #[arg(long, value_name = "DAYS", conflicts_with = "keep",
        value_parser = clap::value_parser!(u32).range(1..=36_500))]
    pub keep_days: Option<u32>,
    /// Keep the job until it is deleted.
    #[arg(long)]
    pub keep: bool,
    /// The server.
    #[command(flatten)]
    pub server: Server,
}

/// `extend`
#[derive(Debug, Args)]
pub struct Extend {
    /// Id of a job that is done.
    pub id: String,
    /// Evaluations beside those spent; rounded up to whole epochs of all islands.
    #[arg(long, value_parser = clap::value_parser!(u64).range(1..=1_000_000_000))]
    pub evaluations: u64,
    /// Follow the new job until it is over.
    #[arg(long)]
    pub watch: bool,
    /// The server.
    #[command(flatten)]
    pub server: Server,
}

/// `export`
#[derive(Debug, Args)]
pub struct Export {
    /// Id of a job that is done, failed or cancelled.
    pub id: String,
    /// File to write, or - for standard output.
    #[arg(short, long, value_name = "FILE")]
    pub output: PathBuf,
    /// The server.
    #[command(flatten)]
    pub server: Server,
}

/// `import`
#[derive(Debug, Args)]
pub struct Import {
    /// File that `export` wrote, or - for standard input.
    pub file: PathBuf,
    /// The server.
    #[command(flatten)]
    pub server: Server,
}
