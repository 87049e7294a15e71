//! The built program: started, asked over HTTP, killed.

use std::io::Read;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::OnceLock;
use std::time::{Duration, Instant};

use serde_json::Value;
use ureq::Agent;

use crate::process::Process;

/// A file of `demo-jobs/`, read as JSON.
pub fn demo(name: &str) -> Value {
    let text = std::fs::read_to_string(demo_path(name)).expect("a demo file is there");
    serde_json::from_str(&text).expect("a demo file is JSON")
}

/// Where a file of `demo-jobs/` lies.
pub fn demo_path(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../demo-jobs")
        .join(name)
}

/// The `leanwright` program of the same profile as the running test, built when it is stale.
pub fn program() -> &'static Path {
    static BUILT: OnceLock<PathBuf> = OnceLock::new();
    BUILT.get_or_init(|| build(&[]))
}

/// The same with the fault points of the store. A copy, since another build takes the first's place.
pub fn program_with_fault_points() -> &'static Path {
    static BUILT: OnceLock<PathBuf> = OnceLock::new();
    BUILT.get_or_init(|| {
        let built = build(&["--features", "fault-points"]);
        let copy = built.with_file_name("leanwright-with-fault-points");
        // A running program can't be written over, only replaced.
        let next = copy.with_extension("next");
        std::fs::copy(built, &next).expect("the program can be copied");
        std::fs::rename(next, &copy).expect("the copy can be put in place");
        copy
    })
}

fn build(features: &[&str]) -> PathBuf {
    // A test program lies in <target>/<profile>/deps.
    let mut folder = std::env::current_exe().expect("the test knows its own path");
    folder.pop();
    if folder.ends_with("deps") {
        folder.pop();
    }
    let mut build = Command::new(env!("CARGO"));
    // Of a test that cargo did not start, rustup would take the toolchain that a dependency's folder names.
    if let Some(toolchain) = option_env!("RUSTUP_TOOLCHAIN") {
        build.env("RUSTUP_TOOLCHAIN", toolchain);
    }
    build.args(["build", "--quiet", "--package", "leanwright"]);
    build.args(features);
    if folder.ends_with("release") {
        build.arg("--release");
    }
    let target = folder.parent().expect("the profile's folder has a parent");
    build.arg("--target-dir").arg(target);
    // What cargo tells this program of its package, build scripts of dependencies would take for a change
    // and build themselves, and everything above them, again at every turn.
    for (name, _) in std::env::vars_os() {
        let name = name.to_string_lossy();
        if name.starts_with("CARGO_PKG_") || name.starts_with("CARGO_MANIFEST_") {
            build.env_remove(&*name);
        }
    }
    let ended = build.current_dir(env!("CARGO_MANIFEST_DIR")).status();
    assert!(ended.expect("cargo starts").success());
    folder.join("leanwright")
}

/// The program with nothing from this environment that it listens to.
pub fn command() -> Command {
    clean(program())
}

/// A program with nothing from this environment that it listens to.
pub fn clean(program: &Path) -> Command {
    let mut command = Command::new(program);
    for (name, _) in std::env::vars_os() {
        if name.to_string_lossy().starts_with("LEANWRIGHT_") {
            command.env_remove(name);
        }
    }
    command
}

/// Runs the program to its end.
pub fn run(arguments: &[&str]) -> Output {
    command()
        .args(arguments)
        .output()
        .expect("the program starts")
}

/// A running server, killed when dropped.
pub struct Server {
    /// Its process.
    pub process: Process,
    agent: Agent,
    url: String,
}

impl Server {
    /// Starts a server on a free port over a store file.
    pub fn start(store: &Path, workers: u32) -> Server {
        Server::begin(command(), store, workers)
    }

    /// Starts a server without workers from a line of shell, which runs it as `exec "$@"`.
    pub fn start_in_shell(store: &Path, line: &str) -> Server {
        let mut shell = clean(Path::new("sh"));
        shell.args(["-c", line, "sh"]).arg(program());
        Server::begin(shell, store, 0)
    }

    fn begin(mut command: Command, store: &Path, workers: u32) -> Server {
        command
            .args(["serve", "--json", "--listen", "127.0.0.1:0", "--store"])
            .arg(store)
            .args(["--workers", &workers.to_string()]);
        Server::of(Process::start(&mut command))
    }

    /// The server that runs as this process.
    pub fn of(process: Process) -> Server {
        let config = Agent::config_builder()
            .http_status_as_error(false)
            .timeout_global(Some(Duration::from_secs(120)))
            .proxy(None)
            .build();
        Server {
            agent: config.into(),
            url: process.told["listening"]
                .as_str()
                .expect("an address")
                .to_owned(),
            process,
        }
    }

    /// Kills the process as `kill -9` does and waits until it is gone.
    pub fn kill(self) {
        self.process.kill();
    }

    /// Where it listens.
    pub fn url(&self) -> &str {
        &self.url
    }

    /// Status and body of a resource.
    pub fn get(&self, path: &str) -> (u16, String) {
        let answer = self.agent.get(format!("{}{path}", self.url)).call();
        let mut answer = answer.unwrap_or_else(|error| panic!("GET {path}: {error}"));
        let body = answer.body_mut().with_config().limit(64 << 20);
        let body = body.read_to_string().expect("the body is text");
        (answer.status().as_u16(), body)
    }

    /// A JSON resource that must be there.
    pub fn json(&self, path: &str) -> Value {
        let (status, body) = self.get(path);
        assert_eq!(status, 200, "GET {path}: {body}");
        serde_json::from_str(&body).expect("the body is JSON")
    }

    /// Posts a body as JSON; status and body of the answer, or `None` where the server closed
    /// the connection before the whole body was sent.
    pub fn post(&self, path: &str, body: impl Read) -> Option<(u16, String)> {
        let request = self
            .agent
            .post(format!("{}{path}", self.url))
            .content_type("application/json");
        let mut body = body;
        let mut answer = request.send(ureq::SendBody::from_reader(&mut body)).ok()?;
        let text = answer.body_mut().read_to_string().ok()?;
        Some((answer.status().as_u16(), text))
    }

    /// Submits a job under a key, again until the store takes it, and gives its id.
    pub fn submit_under(&self, key: &str, job: &Value) -> String {
        let start = Instant::now();
        loop {
            let sent = self
                .agent
                .post(format!("{}/v1/jobs", self.url))
                .content_type("application/json")
                .header("Idempotency-Key", key)
                .send(job.to_string());
            let mut answer = sent.expect("the server answers");
            let body = answer.body_mut().read_to_string().expect("a body");
            if [200, 201].contains(&answer.status().as_u16()) {
                let answer: Value = serde_json::from_str(&body).expect("the body is JSON");
                return answer["id"].as_str().expect("an id").to_owned();
            }
            assert!(start.elapsed() < Duration::from_secs(120), "{body}");
            std::thread::sleep(Duration::from_millis(100));
        }
    }

    /// Submits a job and gives its id.
    pub fn submit(&self, job: &Value) -> String {
        let sent = self.post("/v1/jobs", job.to_string().as_bytes());
        let (status, body) = sent.expect("the server answers");
        assert_eq!(status, 201, "{body}");
        let answer: Value = serde_json::from_str(&body).expect("the body is JSON");
        answer["id"].as_str().expect("an id").to_owned()
    }

    /// Looks at a job until `enough` of it, five minutes at most.
    pub fn wait(&self, id: &str, enough: impl Fn(&Value) -> bool) -> Value {
        self.look(id, |job| {
            assert_ne!(job["state"], "failed", "{job}");
            enough(job)
        })
    }

    /// A job that is over, however it ended.
    pub fn over(&self, id: &str) -> Value {
        let ends = ["done", "failed", "cancelled"];
        self.look(id, |job| ends.iter().any(|end| job["state"] == *end))
    }

    /// Looks at a job while the store may be out of reach for a time, five minutes at most.
    fn look(&self, id: &str, enough: impl Fn(&Value) -> bool) -> Value {
        let start = Instant::now();
        loop {
            let (status, body) = self.get(&format!("/v1/jobs/{id}"));
            if status != 503 {
                assert_eq!(status, 200, "{body}");
                let job = serde_json::from_str(&body).expect("the body is JSON");
                if enough(&job) {
                    return job;
                }
            }
            assert!(start.elapsed() < Duration::from_secs(300), "{body}");
            std::thread::sleep(Duration::from_millis(50));
        }
    }

    /// The published front of a job, waited for, as it was sent.
    pub fn front(&self, id: &str) -> String {
        self.wait(id, |job| job["state"] == "done");
        self.get(&format!("/v1/jobs/{id}/front")).1
    }
}
