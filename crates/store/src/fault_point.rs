//! Named places where a test stops or kills the process from within, to the very statement.
//!
//! Only the feature `fault-points` compiles anything in. Then `LEANWRIGHT_FAULT_POINT` names one place
//! and what happens there:
//!
//! ```text
//! PLACE[@EPOCH/ISLAND][#COUNT]=ACTION      complete.kept@3/0=kill   claim.taken#5=stop   complete.begun#*=meet
//! ```
//!
//! `COUNT` is the passing at which it happens, the first by default, and `*` is every one. `kill` and
//! `stop` raise SIGKILL and SIGSTOP on the process; `meet` holds a thread until a second one comes to
//! the same place, for two seconds at most.

use crate::model::SliceKey;

/// Passes a place; nothing happens there in a usual build.
#[cfg(not(feature = "fault-points"))]
#[inline(always)]
pub fn fault_point(_place: &'static str, _key: Option<SliceKey>) {}

#[cfg(feature = "fault-points")]
pub use armed::fault_point;

#[cfg(feature = "fault-points")]
mod armed {
    use std::sync::atomic::{AtomicU64, Ordering};
    use std::sync::{Condvar, Mutex, OnceLock, PoisonError};
    use std::time::Duration;

    use rustix::process::{Signal, getpid, kill_process};

    use super::SliceKey;

    struct Armed {
        place: String,
        key: Option<SliceKey>,
        /// `None` is every passing.
        at: Option<u64>,
        action: String,
        passed: AtomicU64,
    }

    /// Passes a place; what the environment asks for happens there.
    pub fn fault_point(place: &'static str, key: Option<SliceKey>) {
        static ARMED: OnceLock<Option<Armed>> = OnceLock::new();
        let read = || std::env::var("LEANWRIGHT_FAULT_POINT").ok();
        let Some(armed) = ARMED.get_or_init(|| read().map(|text| parse(&text))) else {
            return;
        };
        if armed.place != place || armed.key.is_some() && armed.key != key {
            return;
        }
        let passing = armed.passed.fetch_add(1, Ordering::Relaxed) + 1;
        if armed.at.is_none_or(|at| at == passing) {
            act(&armed.action);
        }
    }

    fn parse(text: &str) -> Armed {
        let parsed = text.split_once('=').and_then(|(place, action)| {
            let (place, at) = match place.split_once('#') {
                Some((place, "*")) => (place, None),
                Some((place, at)) => (place, Some(at.parse().ok()?)),
                None => (place, Some(1)),
            };
            let (place, key) = match place.split_once('@') {
                Some((place, key)) => (place, Some(slice(key)?)),
                None => (place, None),
            };
            ["kill", "stop", "meet"].contains(&action).then(|| Armed {
                place: place.to_owned(),
                key,
                at,
                action: action.to_owned(),
                passed: AtomicU64::new(0),
            })
        });
        // A test that mistypes must not pass for nothing having happened.
        parsed.unwrap_or_else(|| panic!("LEANWRIGHT_FAULT_POINT can't be read: {text}"))
    }

    fn slice(text: &str) -> Option<SliceKey> {
        let (epoch, island) = text.split_once('/')?;
        Some(SliceKey {
            epoch: epoch.parse().ok()?,
            island: island.parse().ok()?,
        })
    }

    fn act(action: &str) {
        let signal = match action {
            "meet" => return meet(),
            "stop" => Signal::STOP,
            _ => Signal::KILL,
        };
        // The system takes the signal to any thread, which may have to wait for a core on a busy machine;
        // this one must not run on meanwhile.
        let sent = kill_process(getpid(), signal);
        assert!(sent.is_ok(), "no signal could be raised: {sent:?}");
        std::thread::sleep(Duration::from_secs(1));
    }

    fn meet() {
        static COME: Mutex<u64> = Mutex::new(0);
        static CAME: Condvar = Condvar::new();
        let mut come = COME.lock().unwrap_or_else(PoisonError::into_inner);
        *come += 1;
        // The second of each pair lets both go.
        let awaited = come.div_ceil(2) * 2;
        CAME.notify_all();
        let patience = Duration::from_secs(2);
        drop(CAME.wait_timeout_while(come, patience, |come| *come < awaited));
    }
}
