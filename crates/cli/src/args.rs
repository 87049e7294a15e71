//! The command line.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};

use crate::exit::HELP;
use crate::job_args::{Change, Export, Extend, Import, Jobs, Life};
use crate::server_args::{Migrate, Serve, Work};
use crate::vehicle_args::Vehicles;

/// Searches the front end of leaning cargo tricycles: hardpoints in, a Pareto front out.
#[derive(Debug, Parser)]
#[command(name = "leanwright", version, after_help = HELP)]
pub struct Arguments {
    /// Answer in JSON on standard output, errors as problem documents on standard error.
    #[arg(long, global = true)]
    pub json: bool,
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Serve the HTTP interface and search with workers in this process.
    Serve(Serve),
    /// Work on the jobs of a store as a process of its own, beside others on this and other machines.
    Work(Work),
    /// Move a store to the newest schema that this build knows.
    Migrate(Migrate),
    /// Search one job here and now, then print its front.
    Run(Run),
    /// Ask whether a server and its store answer, once: what a container's health check runs.
    Ready(Ready),
    /// Send a job to a server.
    Submit(Submit),
    /// Follow a job on a server until it is over.
    Watch(Watch),
    /// Print the front of a job on a server.
    Front(Front),
    /// Compare candidates of jobs and saved vehicles, quantity by quantity.
    Compare(Compare),
    /// List jobs on a server, newest first.
    Jobs(Jobs),
    /// Cancel a job on a server.
    Cancel(JobOnServer),
    /// Pause a job on a server: no more of it is begun.
    Pause(JobOnServer),
    /// Resume a paused job on a server.
    Resume(JobOnServer),
    /// Change priority, labels or days to be kept of a job on a server.
    Change(Change),
    /// Go on with a finished job on a server: a new job from its checkpoints.
    Extend(Extend),
    /// Start an open job on a server again from its seed, on whatever build claims it next.
    Restart(JobOnServer),
    /// Write a job that is over to one file, with everything that is kept of it.
    Export(Export),
    /// Take a job that was exported into a server's store, whichever it came from.
    Import(Import),
    /// Delete a job on a server with its results.
    Delete(JobOnServer),
    /// Keep vehicles on a server, with notes and versions.
    Vehicles(Vehicles),
    /// Assess one vehicle: every quantity, its worst pose and its limits.
    Assess(Assess),
    /// Solve one pose of one vehicle.
    Pose(Pose),
    /// Explain a machine as built from readings of toe, camber and height or points measured.
    Fit(Fit),
    /// Print the fit of a machine as built that a server's workers computed.
    Fitted(FittedJob),
    /// Build machines within a job's tolerance: percentiles, what matters most, how exact to be.
    Study(StudyOf),
    /// List every quantity: name, unit, sign, definition.
    Quantities,
    /// Print the JSON Schema of an input file.
    Schema(Schema),
}

/// How to reach a server.
#[derive(Debug, Args)]
pub struct Server {
    /// Address of the server.
    #[arg(
        long,
        env = "LEANWRIGHT_SERVER",
        default_value = "http://127.0.0.1:8080"
    )]
    pub server: String,
    /// File holding the server's token.
    #[arg(long, env = "LEANWRIGHT_TOKEN_FILE")]
    pub token_file: Option<PathBuf>,
}

/// `ready`
#[derive(Debug, Args)]
pub struct Ready {
    /// The server.
    #[command(flatten)]
    pub server: Server,
}

/// `run`
#[derive(Debug, Args)]
pub struct Run {
    /// Job file, or - for standard input.
    pub job: PathBuf,
    /// Keep the work in this store. Running the same job over it again goes on where it stopped.
    #[arg(long)]
    pub store: Option<PathBuf>,
    /// Folder for front and hardpoints (JSON, CSV, Parquet), job.json, report.html, one vehicle
    /// file per candidate and a report of each candidate at a knee of the front.
    #[arg(long)]
    pub out: Option<PathBuf>,
    /// Worker threads; by default one per core.
    #[arg(long, value_parser = clap::value_parser!(u32).range(1..=1024))]
    pub workers: Option<u32>,
}

/// `submit`
#[derive(Debug, Args)]
pub struct Submit {
    /// Job file, or - for standard input.
    pub job: PathBuf,
    /// Idempotency key: sending the same job twice with one key makes one job.
    #[arg(long)]
    pub key: Option<String>,
    /// Follow the job until it is over.
    #[arg(long)]
    pub watch: bool,
    /// What is said about it.
    #[command(flatten)]
    pub life: Life,
    /// The server.
    #[command(flatten)]
    pub server: Server,
}

/// `watch`
#[derive(Debug, Args)]
pub struct Watch {
    /// Job id.
    pub id: String,
    /// The server.
    #[command(flatten)]
    pub server: Server,
}

/// A job on a server.
#[derive(Debug, Args)]
pub struct JobOnServer {
    /// Job id.
    pub id: String,
    /// The server.
    #[command(flatten)]
    pub server: Server,
}

/// `front`
#[derive(Debug, Args)]
pub struct Front {
    /// Job id.
    pub id: String,
    /// Print the front as CSV.
    #[arg(long, conflicts_with_all = ["json", "candidate"])]
    pub csv: bool,
    /// Print this candidate alone, as its vehicle file; with --json with all its quantities.
    #[arg(long, value_name = "N")]
    pub candidate: Option<u32>,
    /// Also write the files that `run --out` writes into this folder.
    #[arg(long)]
    pub out: Option<PathBuf>,
    /// The server.
    #[command(flatten)]
    pub server: Server,
}

/// `compare`
#[derive(Debug, Args)]
pub struct Compare {
    /// Candidates as JOB/N and versions of saved vehicles as VEHICLE@N; the others are compared with
    /// the first.
    #[arg(required = true, value_name = "JOB/N|VEHICLE@N")]
    pub candidates: Vec<String>,
    /// The server.
    #[command(flatten)]
    pub server: Server,
}

/// `assess`
#[derive(Debug, Args)]
pub struct Assess {
    /// Vehicle file, or - for standard input.
    pub vehicle: PathBuf,
    /// The state of loading that curves, stops and load cases are taken in, by its name; by default
    /// that of masses. Quantities are the worst over all.
    #[arg(long, value_name = "NAME")]
    pub loading: Option<String>,
}

/// `fit`
#[derive(Debug, Args)]
pub struct Fit {
    /// File with the vehicle as drawn, readings, unknowns and allowed changes, or - for standard
    /// input; `leanwright schema fit` says more.
    pub file: PathBuf,
    /// CSV file with the readings instead: one line a pose, columns named as a reading's fields.
    #[arg(long)]
    pub readings: Option<PathBuf>,
    /// Folder for the fit, its figures, both machines and the report.
    #[arg(long, value_name = "FOLDER")]
    pub out: Option<PathBuf>,
}

/// `fitted`
#[derive(Debug, Args)]
pub struct FittedJob {
    /// Id of a finished job of the kind as_built.
    pub id: String,
    /// Folder for the fit, its figures, both machines and the report.
    #[arg(long, value_name = "FOLDER")]
    pub out: Option<PathBuf>,
    /// The server.
    #[command(flatten)]
    pub server: Server,
}

/// `study`
#[derive(Debug, Args)]
pub struct StudyOf {
    /// Job file, or - for standard input.
    pub job: PathBuf,
    /// Offsets of all freedoms in the job's order, mm, such as a candidate's vector; by default the
    /// submitted vehicle.
    #[arg(
        long,
        value_name = "X,Y,…",
        value_delimiter = ',',
        allow_negative_numbers = true
    )]
    pub offsets_mm: Vec<f64>,
    /// Which layout of a job over several: its place, counted from 0, or its name, as a candidate
    /// says them; by default the first, which --offsets-mm does not leave open.
    #[arg(long, value_name = "PLACE|NAME")]
    pub layout: Option<String>,
    /// Standard deviation of hardpoints, mm, instead of the job's own.
    #[arg(long, allow_negative_numbers = true)]
    pub sigma_mm: Option<f64>,
    /// Standard deviation of rod lengths after setting the toe, mm.
    #[arg(long, allow_negative_numbers = true)]
    pub rod_mm: Option<f64>,
    /// Standard deviation of the directions of studs and bolts, degrees.
    #[arg(long, allow_negative_numbers = true)]
    pub stud_deg: Option<f64>,
    /// Machines built, 64 to 1024.
    #[arg(long)]
    pub samples: Option<u32>,
    /// Seed of the errors.
    #[arg(long)]
    pub seed: Option<u64>,
}

/// `pose`
#[derive(Debug, Args)]
pub struct Pose {
    /// Vehicle file, or - for standard input.
    pub vehicle: PathBuf,
    /// Lean, degrees: positive raises the left side, so that the vehicle leans to the right.
    #[arg(long, default_value_t = 0.0, allow_negative_numbers = true)]
    pub lean_deg: f64,
    /// Turn of the crank about its own axis, degrees; the wheels may turn the other way. On a
    /// slider machine the turn of the handlebar.
    #[arg(long, default_value_t = 0.0, allow_negative_numbers = true)]
    pub steer_deg: f64,
    /// Travel of a slider along its rail, mm, instead of --steer-deg.
    #[arg(long, allow_negative_numbers = true)]
    pub steer_mm: Option<f64>,
    /// Mean rise of both lower ball joints in the frame, mm.
    #[arg(long, allow_negative_numbers = true)]
    pub mean_travel_mm: Option<f64>,
}

/// `schema`
#[derive(Debug, Args)]
pub struct Schema {
    /// Which input.
    pub input: Input,
}

/// The inputs with a schema.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub enum Input {
    /// The job file.
    Job,
    /// The vehicle file.
    Vehicle,
    /// What a fit of a machine as built is asked by.
    Fit,
}
