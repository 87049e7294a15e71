//! The listening socket: connection cap, head time-out, graceful end.

use std::fmt;
use std::net::SocketAddr;
use std::sync::Arc;
use std::time::Duration;

use axum::Router;
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::server::graceful::GracefulShutdown;
use hyper_util::service::TowerToHyperService;
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::Semaphore;

use crate::guard::Token;
use crate::patience::Patient;
use crate::state::App;

/// Answers in progress get this long after the server was told to stop.
const LAST_ANSWERS: Duration = Duration::from_secs(5);

/// Why the server does not listen.
#[derive(Debug)]
pub enum ListenError {
    /// Another address than the own machine's, without a token.
    TokenRequired(SocketAddr),
    /// The operating system refuses the address.
    Refused(SocketAddr, std::io::Error),
}

impl fmt::Display for ListenError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TokenRequired(address) => write!(
                f,
                "{address} can be reached from other machines: a token file is required \
                 (without one, only the own machine's address 127.0.0.1 or ::1 is allowed)"
            ),
            Self::Refused(address, error) => write!(f, "cannot listen on {address}: {error}"),
        }
    }
}

impl std::error::Error for ListenError {}

/// Opens the socket, unless it could be reached from elsewhere without a token.
///
/// # Errors
/// See [`ListenError`].
pub async fn listen(
    address: SocketAddr,
    token: Option<&Token>,
) -> Result<TcpListener, ListenError> {
    if !address.ip().is_loopback() && token.is_none() {
        return Err(ListenError::TokenRequired(address));
    }
    TcpListener::bind(address)
        .await
        .map_err(|error| ListenError::Refused(address, error))
}

/// Serves until the app is told to stop, then lets answers in progress finish.
pub async fn serve(listener: TcpListener, router: Router, app: App) {
    let places = Arc::new(Semaphore::new(app.limits().connections));
    let graceful = GracefulShutdown::new();
    loop {
        // Beyond the cap new connections wait in the operating system's own queue.
        let Ok(place) = places.clone().acquire_owned().await else {
            break;
        };
        let stream = tokio::select! {
            accepted = listener.accept() => accepted,
            () = app.stopped() => break,
        };
        match stream {
            Ok((stream, _)) => {
                let connection = graceful.watch(connection(stream, &router, &app));
                tokio::spawn(async move {
                    // A caller who hangs up or is cut off for slowness is no fault of ours.
                    let _ = connection.await;
                    drop(place);
                });
            }
            Err(error) => {
                tracing::warn!(%error, "a connection could not be accepted");
                tokio::time::sleep(Duration::from_millis(100)).await;
            }
        }
    }
    drop(listener);
    let _ = tokio::time::timeout(LAST_ANSWERS, graceful.shutdown()).await;
}

type Service = TowerToHyperService<Router>;

fn connection(
    stream: TcpStream,
    router: &Router,
    app: &App,
) -> http1::Connection<TokioIo<Patient<TcpStream>>, Service> {
    let stream = Patient::new(stream, app.limits().write_time);
    http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(app.limits().head_time)
        .max_buf_size(64 * 1024)
        .serve_connection(
            TokioIo::new(stream),
            TowerToHyperService::new(router.clone()),
        )
}
