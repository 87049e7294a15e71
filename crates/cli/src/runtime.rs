//! The asynchronous part: runtime, signals, store.

use std::io::IsTerminal;
use std::time::Duration;

use service::{Kind, Problem};
use store::{OpenError, Options, Store};

/// Runs a future to its end on a runtime of its own.
///
/// # Errors
/// When the operating system gives no threads.
pub fn block_on<T>(future: impl Future<Output = T>) -> Result<T, Problem> {
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .enable_all()
        .build()
        .map_err(|error| Problem::new(Kind::Internal, format!("no runtime: {error}")))?;
    let outcome = runtime.block_on(future);
    // What still waits for a store out of reach is left behind.
    runtime.shutdown_timeout(Duration::from_secs(1));
    Ok(outcome)
}

/// Waits for an interrupt from the keyboard or a request to terminate.
pub async fn asked_to_stop() {
    use tokio::signal::unix::{SignalKind, signal};
    let interrupt = tokio::signal::ctrl_c();
    match signal(SignalKind::terminate()) {
        Ok(mut terminate) => {
            tokio::select! {
                _ = interrupt => {}
                _ = terminate.recv() => {}
            }
        }
        // Without the handler the signal ends the process at once, which the store survives.
        Err(_) => drop(interrupt.await),
    }
}

/// Opens a store.
///
/// # Errors
/// [`Kind::Usage`] when its URL can't be read, [`Kind::StoreUnavailable`] when it cannot be opened.
pub async fn open_store(options: &Options) -> Result<Store, Problem> {
    Store::open(options)
        .await
        .map_err(|error| not_opened(&error))
}

/// The problem of a store that was not opened.
pub fn not_opened(error: &OpenError) -> Problem {
    let kind = match error {
        OpenError::Scheme { .. } | OpenError::Url | OpenError::UrlParameter { .. } => Kind::Usage,
        _ => Kind::StoreUnavailable,
    };
    Problem::new(kind, error.to_string())
}

/// Writes the log to standard error. The level comes from RUST_LOG, else it is `usual`.
pub fn log_to_stderr(usual: &str) {
    let filter = tracing_subscriber::EnvFilter::try_from_default_env()
        .unwrap_or_else(|_| tracing_subscriber::EnvFilter::new(usual));
    tracing_subscriber::fmt()
        .with_env_filter(filter)
        .with_writer(std::io::stderr)
        .with_ansi(std::io::stderr().is_terminal())
        // Otherwise a log on a full disk would end the thread that has something to say.
        .log_internal_errors(false)
        .init();
}
