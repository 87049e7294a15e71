//! Starting the binary and looking at what it leaves.

use std::io::{BufRead, BufReader, Read, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, ExitStatus, Output, Stdio};
use std::time::{Duration, Instant};

use serde_json::Value;
use tempfile::TempDir;

/// The demo files at the root of the workspace.
pub fn demo(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../demo-jobs")
        .join(name)
}

/// The demo job with a budget that takes seconds, in a folder of its own.
pub fn short_job(folder: &TempDir, evaluations: u64) -> PathBuf {
    let text = std::fs::read_to_string(demo("rod-ends.json")).unwrap();
    let mut job: Value = serde_json::from_str(&text).unwrap();
    job["search"] = serde_json::json!({
        "evaluations": evaluations, "islands": 2, "seed": 5, "front": 12, "polish_points": 2,
        "polish_evaluations": 60,
    });
    let path = folder.path().join("short.json");
    std::fs::write(&path, job.to_string()).unwrap();
    path
}

pub fn command() -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_leanwright"));
    for name in [
        "LEANWRIGHT_STORE",
        "LEANWRIGHT_STORE_URL_FILE",
        "LEANWRIGHT_SERVER",
        "LEANWRIGHT_TOKEN_FILE",
        "RUST_LOG",
    ] {
        command.env_remove(name);
    }
    command
}

pub fn leanwright<I: AsRef<std::ffi::OsStr>>(arguments: impl IntoIterator<Item = I>) -> Output {
    command().args(arguments).output().unwrap()
}

pub fn with_input(arguments: &[&str], input: &str) -> Output {
    let mut child = command()
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    child
        .stdin
        .take()
        .unwrap()
        .write_all(input.as_bytes())
        .unwrap();
    child.wait_with_output().unwrap()
}

pub fn stdout_json(output: &Output) -> Value {
    serde_json::from_slice(&output.stdout).unwrap_or_else(|error| panic!("{error}: {output:?}"))
}

/// Asserts the exit code and a problem document on standard error, and gives the document.
pub fn problem(output: &Output, code: i32, kind: &str) -> Value {
    assert_eq!(output.status.code(), Some(code), "{output:?}");
    assert!(output.stdout.is_empty(), "{output:?}");
    let problem: Value = serde_json::from_slice(&output.stderr)
        .unwrap_or_else(|error| panic!("{error}: {output:?}"));
    assert_eq!(problem["type"], format!("/problems/{kind}"), "{output:?}");
    problem
}

/// A running `serve`, killed when dropped.
pub struct Server {
    child: Child,
    pub url: String,
}

impl Server {
    pub fn start(store: &Path, workers: u32) -> Self {
        Self::start_with(store, workers, &[])
    }

    pub fn start_with(store: &Path, workers: u32, more: &[&str]) -> Self {
        let mut child = command()
            .args(["serve", "--json", "--listen", "127.0.0.1:0", "--store"])
            .arg(store)
            .args(["--workers", &workers.to_string()])
            .args(more)
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut line = String::new();
        let mut output = BufReader::new(child.stdout.take().unwrap());
        output.read_line(&mut line).unwrap();
        let told: Value = serde_json::from_str(&line).unwrap();
        let url = told["listening"].as_str().unwrap().to_owned();
        Self { child, url }
    }

    /// Runs a command against this server.
    pub fn ask(&self, arguments: &[&str]) -> Output {
        let mut command = command();
        command
            .args(arguments)
            .env("LEANWRIGHT_SERVER", &self.url)
            .output()
            .unwrap()
    }

    /// Sends a signal by name, as a service manager would.
    pub fn signal(&self, name: &str) {
        signal(&self.child, name);
    }

    /// Waits for the process to end.
    pub fn wait(&mut self) -> ExitStatus {
        wait(&mut self.child)
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        // It may have ended already; then there is nothing to kill.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

pub fn signal(child: &Child, name: &str) {
    let sent = Command::new("kill")
        .args(["-s", name, &child.id().to_string()])
        .status();
    assert!(sent.unwrap().success());
}

/// Waits for a process that is on its way to its end.
pub fn wait(child: &mut Child) -> ExitStatus {
    let start = Instant::now();
    loop {
        if let Some(status) = child.try_wait().unwrap() {
            return status;
        }
        if start.elapsed() > Duration::from_secs(60) {
            let _ = child.kill();
            let mut told = String::new();
            if let Some(errors) = &mut child.stderr {
                errors.read_to_string(&mut told).unwrap();
            }
            panic!("the process does not end: {told}");
        }
        std::thread::sleep(Duration::from_millis(20));
    }
}
