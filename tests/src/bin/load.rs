//! The API under load: many clients that poll and submit at a fixed rate while workers use every core.
//!
//! ```text
//! cargo run --release -p leanwright-tests --bin load [SECONDS [REQUESTS_PER_SECOND [CLIENTS]]]
//! tests/postgres/with cargo run --release -p leanwright-tests --bin load        on PostgreSQL
//! ```
//!
//! Open loop: each request has its moment, and its time runs from that moment whether or not its client
//! was still busy with the one before, so a slow answer can't hide those that it held up. The first second,
//! which holds the first use of every connection and statement, is told apart.

use std::net::SocketAddr;
use std::time::{Duration, Instant};

use http_body_util::{BodyExt, Full};
use hyper::body::Bytes;
use hyper::client::conn::http1::{SendRequest, handshake};
use hyper::{Method, Request};
use hyper_util::rt::TokioIo;
use leanwright_tests::process::Process;
use leanwright_tests::program::{Server, command, demo};
use serde_json::{Value, json};
use tokio::net::TcpStream;

/// Submissions a second among the requests; the rest polls.
const SUBMISSIONS: usize = 2;

/// What a request does.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Asked {
    Poll,
    /// Submits a machine that the server has not seen, so that it samples candidates first.
    NewMachine,
    /// Submits the machine of an earlier job with another seed.
    KnownMachine,
}

impl Asked {
    fn of(request: usize, rate: usize) -> Asked {
        match request.checked_rem(rate / SUBMISSIONS) {
            Some(7) if (request / (rate / SUBMISSIONS)).is_multiple_of(2) => Asked::NewMachine,
            Some(7) => Asked::KnownMachine,
            _ => Asked::Poll,
        }
    }
}

/// One answered request.
struct Answer {
    asked: Asked,
    /// Asked within the first second.
    cold: bool,
    status: u16,
    took: Duration,
}

/// What is asked for how long.
#[derive(Clone)]
struct Plan {
    address: SocketAddr,
    seconds: usize,
    rate: usize,
    clients: usize,
    job: String,
    submission: Value,
    begin: Instant,
}

fn main() {
    let [seconds, rate, clients] = numbers([30, 1_000, 200]);
    let folder = tempfile::tempdir().expect("a folder");
    let server = server(folder.path());
    let job = server.submit(&long());
    server.wait(&job, |job| job["state"] == "running");
    let plan = Plan {
        address: server.url()["http://".len()..].parse().expect("an address"),
        seconds,
        rate,
        clients,
        job,
        submission: small(),
        begin: Instant::now() + Duration::from_millis(500),
    };
    let answers = ask(plan);
    let job = server.json("/v1/jobs?limit=1&state=running");
    assert!(
        !job["jobs"].as_array().is_some_and(Vec::is_empty),
        "the workers ran out of work"
    );
    report(&answers);
}

fn numbers<const N: usize>(usual: [usize; N]) -> [usize; N] {
    let mut given = std::env::args().skip(1);
    usual.map(|usual| {
        let given = given.next();
        given.map_or(usual, |text| text.parse().expect("a whole number"))
    })
}

/// A server with a worker thread for each core, on PostgreSQL where there is one.
fn server(folder: &std::path::Path) -> Server {
    let store = std::env::var_os("LEANWRIGHT_TEST_POSTGRES")
        .unwrap_or_else(|| folder.join("store.sqlite").into());
    let mut serve = command();
    serve
        .args(["serve", "--json", "--listen", "127.0.0.1:0"])
        .env("LEANWRIGHT_STORE", store);
    Server::of(Process::start(&mut serve))
}

/// Work for longer than the load lasts.
fn long() -> Value {
    let mut job = demo("rod-ends.json");
    job["search"] = json!({"evaluations": 100_000_000, "islands": 8, "seed": 1});
    job
}

/// What is submitted under load.
fn small() -> Value {
    let mut job = demo("rod-ends.json");
    job["search"] = json!({"evaluations": 1_000, "islands": 1, "seed": 2, "polish_points": 1});
    job
}

fn ask(plan: Plan) -> Vec<Answer> {
    // One thread, so that the clients take little from the server.
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .expect("a runtime");
    runtime.block_on(async {
        let clients: Vec<_> = (0..plan.clients)
            .map(|number| tokio::spawn(client(plan.clone(), number)))
            .collect();
        let mut answers = vec![];
        for client in clients {
            answers.extend(client.await.expect("the client ends"));
        }
        answers
    })
}

/// Takes every request whose number is its own, modulo the clients.
async fn client(plan: Plan, number: usize) -> Vec<Answer> {
    let stream = TcpStream::connect(plan.address)
        .await
        .expect("a connection");
    let (mut sender, connection) = handshake(TokioIo::new(stream)).await.expect("HTTP");
    tokio::spawn(connection);
    let mut answers = vec![];
    for request in (number..plan.rate * plan.seconds).step_by(plan.clients) {
        let due = plan.begin + Duration::from_secs_f64(request as f64 / plan.rate as f64);
        tokio::time::sleep_until(due.into()).await;
        let asked = Asked::of(request, plan.rate);
        let status = answer(&mut sender, &plan, request, asked).await;
        answers.push(Answer {
            asked,
            cold: request < plan.rate,
            status,
            took: due.elapsed(),
        });
    }
    answers
}

async fn answer(
    sender: &mut SendRequest<Full<Bytes>>,
    plan: &Plan,
    request: usize,
    asked: Asked,
) -> u16 {
    let path = match request % 10 {
        _ if asked != Asked::Poll => "/v1/jobs".to_owned(),
        0 => "/v1/jobs?limit=20".to_owned(),
        5 => "/v1/workers".to_owned(),
        _ => format!("/v1/jobs/{}", plan.job),
    };
    let (method, body) = match asked {
        Asked::Poll => (Method::GET, String::new()),
        _ => (Method::POST, submission(plan, request, asked)),
    };
    let asked = Request::builder()
        .method(method)
        .uri(path)
        .header("Host", plan.address.to_string())
        .header("Content-Type", "application/json")
        .body(Full::new(Bytes::from(body)))
        .expect("a request");
    // A connection that fails counts as an error, too.
    let Ok(answer) = sender.send_request(asked).await else {
        return 0;
    };
    let status = answer.status().as_u16();
    match answer.into_body().collect().await {
        Ok(_) => status,
        Err(_) => 0,
    }
}

/// The job with a seed of its own; of a new machine also with a name that no job before had.
fn submission(plan: &Plan, request: usize, asked: Asked) -> String {
    let mut job = plan.submission.clone();
    job["search"]["seed"] = json!(request);
    if asked == Asked::NewMachine {
        job["vehicle"]["name"] = json!(format!("machine {request}"));
    }
    job.to_string()
}

fn report(answers: &[Answer]) {
    let (cold, warm): (Vec<_>, Vec<_>) = answers.iter().partition(|answer| answer.cold);
    line("requests of the first second", &cold);
    for (what, asked) in [
        ("polls", Asked::Poll),
        ("submissions of a new machine", Asked::NewMachine),
        ("submissions of a known machine", Asked::KnownMachine),
    ] {
        let of_kind = |answer: &&Answer| answer.asked == asked;
        line(
            what,
            &warm.iter().copied().filter(of_kind).collect::<Vec<_>>(),
        );
    }
    line("all", &warm);
}

fn line(what: &str, answers: &[&Answer]) {
    let mut took: Vec<Duration> = answers.iter().map(|answer| answer.took).collect();
    took.sort();
    let Some(worst) = took.last() else { return };
    let at = |share: usize| took[(took.len() * share / 100).min(took.len() - 1)];
    let errors = answers
        .iter()
        .filter(|answer| !(200..300).contains(&answer.status));
    let [median, most, worst] = [at(50), at(99), *worst].map(|took| 1e3 * took.as_secs_f64());
    println!(
        "{} {what}: median {median:.1} ms, 99th percentile {most:.1} ms, worst {worst:.1} ms, {} errors",
        took.len(),
        errors.count(),
    );
}
