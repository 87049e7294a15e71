//! Counters in the plain-text exposition format that metric collectors read.

use std::collections::BTreeMap;
use std::fmt::Write;
use std::sync::Mutex;

type Key = (&'static str, String, u16);

/// Requests counted by method, route and status.
#[derive(Debug, Default)]
pub struct Metrics {
    requests: Mutex<BTreeMap<Key, u64>>,
}

/// One figure of the moment, shown as a gauge.
#[derive(Debug)]
pub struct Gauge {
    /// Name without the common prefix.
    pub name: &'static str,
    /// What it counts.
    pub help: &'static str,
    /// Value per label; an empty label stands for the figure itself.
    pub values: Vec<(String, u64)>,
}

impl Metrics {
    /// Counts one answered request.
    pub fn count(&self, method: &'static str, route: &str, status: u16) {
        let mut requests = self.lock();
        *requests
            .entry((method, route.to_owned(), status))
            .or_default() += 1;
    }

    /// All counters and the given gauges as text.
    pub fn text(&self, gauges: &[Gauge]) -> String {
        let mut out = String::from(
            "# HELP leanwright_requests_total Answered requests.\n\
             # TYPE leanwright_requests_total counter\n",
        );
        for ((method, route, status), count) in self.lock().iter() {
            let _ = writeln!(
                out,
                "leanwright_requests_total{{method=\"{method}\",route=\"{route}\",\
                 status=\"{status}\"}} {count}"
            );
        }
        for gauge in gauges {
            write_gauge(&mut out, gauge);
        }
        out
    }

    fn lock(&self) -> std::sync::MutexGuard<'_, BTreeMap<Key, u64>> {
        // A panic while counting leaves the numbers as they are; they stay usable.
        self.requests
            .lock()
            .unwrap_or_else(std::sync::PoisonError::into_inner)
    }
}

fn write_gauge(out: &mut String, gauge: &Gauge) {
    let Gauge { name, help, values } = gauge;
    let _ = writeln!(out, "# HELP leanwright_{name} {help}");
    let _ = writeln!(out, "# TYPE leanwright_{name} gauge");
    for (label, value) in values {
        let _ = if label.is_empty() {
            writeln!(out, "leanwright_{name} {value}")
        } else {
            writeln!(out, "leanwright_{name}{{state=\"{label}\"}} {value}")
        };
    }
}
