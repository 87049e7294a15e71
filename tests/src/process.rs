//! A process of the program: started, sent signals, waited for.

use std::io::{BufRead, BufReader};
use std::os::unix::process::ExitStatusExt;
use std::process::{Child, Command, ExitStatus, Stdio};
use std::time::{Duration, Instant};

use rustix::process::{Pid, Resource, Rlimit, Signal, kill_process, prlimit};
use serde_json::Value;

/// How long any step of a process may take on a busy machine.
const PATIENCE: Duration = Duration::from_secs(120);

/// A running process that says in one line of JSON what it is; killed when dropped.
pub struct Process {
    child: Child,
    /// What it said.
    pub told: Value,
}

impl Process {
    /// Starts a command with `--json` and waits for its first line.
    pub fn start(command: &mut Command) -> Process {
        let mut child = command
            .stdout(Stdio::piped())
            .spawn()
            .expect("the program starts");
        let mut line = String::new();
        let output = child.stdout.take().expect("its output is piped");
        BufReader::new(output)
            .read_line(&mut line)
            .expect("the program says what it is");
        let told = serde_json::from_str(&line)
            .unwrap_or_else(|error| panic!("it says so in JSON, not {line:?}: {error}"));
        Process { child, told }
    }

    fn pid(&self) -> Pid {
        Pid::from_child(&self.child)
    }

    /// Sends a signal.
    pub fn signal(&self, signal: Signal) {
        kill_process(self.pid(), signal).expect("the process is there");
    }

    /// Waits until a signal has stopped it.
    pub fn stopped(&self) {
        until("the process stops", || self.state() == Some('T'));
    }

    /// Whether a signal has stopped it.
    pub fn is_stopped(&self) -> bool {
        self.state() == Some('T')
    }

    /// The letter of its state, as the system's manual page proc_pid_stat(5) has it.
    fn state(&self) -> Option<char> {
        let path = format!("/proc/{}/stat", self.child.id());
        let text = std::fs::read_to_string(path).ok()?;
        text.rsplit_once(") ")?.1.chars().next()
    }

    /// Whether it still runs.
    pub fn is_running(&mut self) -> bool {
        self.child
            .try_wait()
            .expect("it can be asked for")
            .is_none()
    }

    /// Waits for its end.
    pub fn ended(&mut self) -> ExitStatus {
        until("the process ends", || !self.is_running());
        self.child.wait().expect("it can be waited for")
    }

    /// Waits for its end, which a kill from within must be.
    pub fn killed_itself(&mut self) {
        let status = self.ended();
        assert_eq!(status.signal(), Some(9), "{status}");
    }

    /// Kills it as `kill -9` does and waits until it is gone.
    pub fn kill(mut self) {
        self.signal(Signal::KILL);
        self.ended();
    }

    /// Lets it write no file beyond this many bytes: each write then fails as on a full disk.
    pub fn limit_files(&self, bytes: Option<u64>) {
        let limit = Rlimit {
            current: bytes,
            maximum: None,
        };
        prlimit(Some(self.pid()), Resource::Fsize, limit).expect("the limit can be set");
    }
}

impl Drop for Process {
    fn drop(&mut self) {
        // It may have ended already; then there is nothing to kill.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// Waits for something, two minutes at most.
pub fn until(what: &str, mut holds: impl FnMut() -> bool) {
    let start = Instant::now();
    while !holds() {
        assert!(start.elapsed() < PATIENCE, "waited too long until {what}");
        std::thread::sleep(Duration::from_millis(10));
    }
}
