//! Over a real connection: slow callers are cut off, the rest is served, the end is graceful.

use std::net::SocketAddr;
use std::time::Duration;

use leanwright_service::{Limits, ListenError, Token, listen, serve};
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::TcpStream;
use tokio::task::JoinHandle;

use crate::world::World;

/// Far longer than any limit set here: a test that waits this long has failed.
const TOO_LONG: Duration = Duration::from_secs(20);

async fn start(world: &World) -> (SocketAddr, JoinHandle<()>) {
    let listener = listen("127.0.0.1:0".parse().unwrap(), None).await.unwrap();
    let address = listener.local_addr().unwrap();
    let serving = tokio::spawn(serve(listener, world.router.clone(), world.app.clone()));
    (address, serving)
}

fn impatient() -> Limits {
    Limits {
        head_time: Duration::from_millis(200),
        body_time: Duration::from_millis(200),
        ..Limits::default()
    }
}

async fn answer_to(address: SocketAddr, text: &str) -> String {
    let mut stream = TcpStream::connect(address).await.unwrap();
    stream.write_all(text.as_bytes()).await.unwrap();
    let mut answer = Vec::new();
    let read = stream.read_to_end(&mut answer);
    tokio::time::timeout(TOO_LONG, read)
        .await
        .expect("the server closes")
        .unwrap();
    String::from_utf8(answer).unwrap()
}

const HEALTH: &str = "GET /healthz HTTP/1.1\r\nHost: 127.0.0.1\r\nConnection: close\r\n\r\n";

#[tokio::test]
async fn a_head_that_never_ends_is_cut_off() {
    let world = World::with(impatient(), None).await;
    let (address, _serving) = start(&world).await;
    let answer = answer_to(address, "GET /healthz HTTP/1.1\r\nHost: 127.0").await;
    assert!(!answer.starts_with("HTTP/1.1 200"), "{answer}");
    assert!(answer_to(address, HEALTH).await.starts_with("HTTP/1.1 200"));
}

#[tokio::test]
async fn a_body_that_never_ends_is_a_problem() {
    let world = World::with(impatient(), None).await;
    let (address, _serving) = start(&world).await;
    let head = "POST /v1/jobs HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/json\r\n\
                Content-Length: 100\r\n\r\n{";
    let answer = answer_to(address, head).await;
    assert!(answer.starts_with("HTTP/1.1 408"), "{answer}");
    assert!(answer.contains("/problems/body-too-slow"));
    assert!(answer_to(address, HEALTH).await.starts_with("HTTP/1.1 200"));
}

#[tokio::test]
async fn an_idle_connection_is_closed() {
    let world = World::with(impatient(), None).await;
    let (address, _serving) = start(&world).await;
    assert_eq!(answer_to(address, "").await, "");
    let kept = "GET /healthz HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n";
    assert!(answer_to(address, kept).await.starts_with("HTTP/1.1 200"));
}

#[tokio::test]
async fn what_is_not_http_is_refused() {
    let world = World::new().await;
    let (address, _serving) = start(&world).await;
    let answer = answer_to(address, "\u{16}\u{3}\u{1}\r\n\r\n").await;
    assert!(answer.starts_with("HTTP/1.1 400"), "{answer}");
    assert!(answer_to(address, HEALTH).await.starts_with("HTTP/1.1 200"));
}

#[tokio::test]
async fn open_streams_do_not_hold_up_the_end() {
    let world = World::new().await;
    let (address, serving) = start(&world).await;
    let id = world.submit().await;
    let request = format!("GET /v1/jobs/{id}/events HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n");
    let mut stream = TcpStream::connect(address).await.unwrap();
    stream.write_all(request.as_bytes()).await.unwrap();
    let mut told = String::new();
    while !told.contains("event: submitted") {
        let mut some = [0; 1024];
        let count = stream.read(&mut some).await.unwrap();
        assert!(count > 0, "the stream ended early: {told}");
        told.push_str(std::str::from_utf8(&some[..count]).unwrap());
    }
    world.app.stop();
    tokio::time::timeout(TOO_LONG, serving)
        .await
        .expect("the server ends")
        .unwrap();
    stream.read_to_string(&mut told).await.unwrap();
    assert!(
        told.ends_with("0\r\n\r\n"),
        "the last chunk is there: {told}"
    );
    assert!(TcpStream::connect(address).await.is_err());
}

#[tokio::test]
async fn other_addresses_need_a_token() {
    let everywhere = "0.0.0.0:0".parse().unwrap();
    let refused = listen(everywhere, None).await.unwrap_err();
    assert!(matches!(refused, ListenError::TokenRequired(_)));
    assert!(refused.to_string().contains("token"));
    let token = Token::new("a-token-of-many-characters").unwrap();
    listen(everywhere, Some(&token)).await.unwrap();
}
