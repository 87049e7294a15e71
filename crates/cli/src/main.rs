//! The leanwright binary: serve, work, migrate, run, ready, submit, watch, front, compare, assess, study, fit, fitted, pose.
//!
//! Answers go to standard output, everything else to standard error. See [`exit`] for the codes.

mod args;
mod client;
mod commands;
mod exit;
mod files;
mod fit_view;
mod front_view;
mod job_args;
mod output;
mod progress;
mod query;
mod runtime;
mod server_args;
mod store_place;
mod table;
mod vehicle_args;
mod workers;

use std::path::Path;
use std::process::ExitCode;

use clap::Parser;
use service::{Kind, Problem, Token};

use crate::args::{Arguments, Command};
use crate::commands::{
    compare, fit, forms, front, jobs, life, migrate, ready, run, serve, single, study, transfer,
    vehicles, watch, work,
};
use crate::exit::Outcome;

fn main() -> ExitCode {
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(error) => return usage(&error),
    };
    match carry_out(&arguments) {
        Ok(outcome) => outcome.into(),
        Err(problem) => exit::report(&problem, arguments.json),
    }
}

fn carry_out(arguments: &Arguments) -> Result<Outcome, Problem> {
    let json = arguments.json;
    match &arguments.command {
        Command::Serve(args) => serve::serve(args, json),
        Command::Work(args) => work::work(args, json),
        Command::Migrate(args) => migrate::migrate(args, json),
        Command::Run(args) => run::run(args, json),
        Command::Ready(args) => ready::ready(args, json),
        Command::Submit(args) => jobs::submit(args, json),
        Command::Watch(args) => watch::watch(args, json),
        Command::Front(args) => front::front(args, json),
        Command::Compare(args) => compare::compare(args, json),
        Command::Jobs(args) => life::list(args, json),
        Command::Cancel(args) => jobs::cancel(args, json),
        Command::Pause(args) => life::set_paused(args, true, json),
        Command::Resume(args) => life::set_paused(args, false, json),
        Command::Change(args) => life::change(args, json),
        Command::Extend(args) => life::extend(args, json),
        Command::Restart(args) => life::restart(args, json),
        Command::Export(args) => transfer::export(args, json),
        Command::Import(args) => transfer::import(args, json),
        Command::Delete(args) => life::delete(args, json),
        Command::Vehicles(args) => vehicles::vehicles(args, json),
        Command::Assess(args) => single::assess(args, json),
        Command::Fit(args) => fit::fit(args, json),
        Command::Fitted(args) => fit::of_job(args, json),
        Command::Study(args) => study::study(args, json),
        Command::Pose(args) => single::pose(args, json),
        Command::Quantities => forms::quantities(json),
        Command::Schema(args) => forms::schema(args),
    }
}

/// Help and version are answers; anything else that clap says is wrong usage.
fn usage(error: &clap::Error) -> ExitCode {
    let wanted_json = std::env::args_os().any(|argument| argument == "--json");
    if error.use_stderr() && wanted_json {
        let detail = error.render().to_string();
        return exit::report(&Problem::new(Kind::Usage, detail.trim()), true);
    }
    // Nothing can be done about a terminal that takes no text.
    let _ = error.print();
    ExitCode::from(if error.use_stderr() { 2 } else { 0 })
}

fn token(path: &Path) -> Result<Token, Problem> {
    Token::read(path)
        .map_err(|error| Problem::new(Kind::Usage, format!("{}: {error}", path.display())))
}
