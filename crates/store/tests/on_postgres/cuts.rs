//! The connection is cut at every message of every operation: before the server hears it, and after
//! the server has answered it but before the client hears the answer. At a commit the two look alike
//! to the client, and differ.

use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};
use std::time::Duration;

use super::{Schema, schema, server};
use crate::contract::{Place, World, key, new_job, ring, worker};
use leanwright_store::{
    Claim, Completion, Error, JobFilter, JobState, NewJob, Options, Published, Store,
};
use tempfile::TempDir;
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::{UnixListener, UnixStream};

/// Where to cut, and whether that message still reaches the server.
#[derive(Clone, Copy, Debug)]
struct Cut {
    at: At,
    heard: bool,
}

#[derive(Clone, Copy, Debug)]
enum At {
    /// The message after this many others.
    Message(usize),
    Commit,
}

/// A socket that passes everything on to the server, until it cuts.
struct Between {
    folder: TempDir,
    cut: Arc<Mutex<Option<Cut>>>,
}

impl Between {
    fn new() -> Between {
        let folder = TempDir::new().unwrap();
        let cut = Arc::new(Mutex::new(None));
        let listener = UnixListener::bind(folder.path().join(".s.PGSQL.5432")).unwrap();
        let (real, armed) = (server_folder().join(".s.PGSQL.5432"), cut.clone());
        tokio::spawn(async move {
            while let Ok((client, _)) = listener.accept().await {
                tokio::spawn(pass(client, real.clone(), armed.clone()));
            }
        });
        Between { folder, cut }
    }

    fn options(&self, place: &Schema) -> Options {
        let options = place.options();
        let here = format!("host={}", self.folder.path().display());
        let there = format!("host={}", server_folder().display());
        Options {
            url: options.url.replace(&there, &here),
            connections: 2,
            ..options
        }
    }

    fn arm(&self, cut: Cut) {
        *self.cut.lock().unwrap() = Some(cut);
    }

    /// Whether it has cut since it was armed.
    fn fired(&self) -> bool {
        self.cut.lock().unwrap().take().is_none()
    }
}

fn server_folder() -> PathBuf {
    let url = server();
    let (_, folder) = url.split_once("host=").expect("a socket's folder");
    Path::new(folder.split('&').next().unwrap()).to_owned()
}

async fn pass(mut client: UnixStream, real: PathBuf, cut: Arc<Mutex<Option<Cut>>>) {
    let Ok(mut server) = UnixStream::connect(real).await else {
        return;
    };
    let (mut asked, mut answered) = (vec![0; 65_536], vec![0; 65_536]);
    loop {
        tokio::select! {
            read = client.read(&mut asked) => {
                let Ok(length @ 1..) = read else { return };
                let here = due(&cut, &asked[..length]);
                if here.is_none_or(|cut| cut.heard)
                    && server.write_all(&asked[..length]).await.is_err()
                {
                    return;
                }
                if let Some(cut) = here {
                    if cut.heard {
                        drop(server.read(&mut answered).await);
                    }
                    return;
                }
            }
            read = server.read(&mut answered) => {
                let Ok(length @ 1..) = read else { return };
                if client.write_all(&answered[..length]).await.is_err() {
                    return;
                }
            }
        }
    }
}

/// Counts a message; answers the cut when this is the one to cut at.
fn due(cut: &Mutex<Option<Cut>>, message: &[u8]) -> Option<Cut> {
    let mut cut = cut.lock().unwrap();
    match &mut cut.as_mut()?.at {
        At::Message(0) => cut.take(),
        At::Message(left) => {
            *left -= 1;
            None
        }
        At::Commit if message.windows(7).any(|word| word == b"COMMIT\0") => cut.take(),
        At::Commit => None,
    }
}

/// What the faults of an operation turned out to be.
#[derive(Debug, Default, PartialEq)]
struct Seen {
    /// Faults told although the operation had taken place.
    taken: u32,
    /// Faults told of operations that had not.
    not_taken: u32,
}

impl Seen {
    fn count(&mut self, taken: bool) {
        if taken {
            self.taken += 1;
        } else {
            self.not_taken += 1;
        }
    }
}

/// The operation reached through the cut connection, and the place that it works in.
struct Scene {
    world: World<Schema>,
    between: Between,
    cut_off: Store,
}

async fn scene() -> Scene {
    let world = World::new(schema().await).await;
    let between = Between::new();
    let cut_off = Store::open(&between.options(&world.place)).await.unwrap();
    Scene {
        world,
        between,
        cut_off,
    }
}

fn told(fault: &Error) {
    let words = fault.to_string();
    assert!(words.contains("may have taken place"), "{words}");
}

/// Runs `each` with a cut at the commit on both sides, then at every message on both sides, until it
/// needs no further one. A fault is told for a commit only; after all else it is tried again.
macro_rules! cut_everywhere {
    ($scene:expr, $each:expr) => {{
        let mut seen = Seen::default();
        for (heard, taken, not_taken) in [(false, 0, 1), (true, 1, 1)] {
            $scene.between.arm(Cut {
                at: At::Commit,
                heard,
            });
            $each(&$scene, &mut seen).await;
            assert!($scene.between.fired());
            assert_eq!(seen, Seen { taken, not_taken });
        }
        for heard in [false, true] {
            for number in 0.. {
                assert!(number < 100, "the operation has no end");
                $scene.between.arm(Cut {
                    at: At::Message(number),
                    heard,
                });
                $each(&$scene, &mut seen).await;
                if !$scene.between.fired() {
                    break;
                }
            }
        }
    }};
}

#[tokio::test(flavor = "multi_thread")]
async fn a_submission_under_a_key_is_made_once() {
    async fn submit(scene: &Scene, seen: &mut Seen) {
        let new = NewJob {
            idempotency_key: Some("once".into()),
            ..new_job(2, 1)
        };
        let id = match scene.cut_off.submit(&new).await {
            Ok(first) => {
                assert!(first.created);
                first.id
            }
            Err(fault) => {
                told(&fault);
                let again = scene.cut_off.submit(&new).await.unwrap();
                seen.count(!again.created);
                again.id
            }
        };
        let listed = scene.world.store.jobs(&JobFilter::default()).await.unwrap();
        assert_eq!(listed.jobs.len(), 1);
        scene.world.store.delete(&id).await.unwrap();
    }
    let scene = scene().await;
    cut_everywhere!(scene, submit);
}

async fn patient_claim(store: &Store) -> Claim {
    let claimed = tokio::time::timeout(Duration::from_secs(60), async {
        loop {
            match store.claim(&worker("other")).await.unwrap() {
                Some(claim) => return claim,
                None => tokio::time::sleep(Duration::from_millis(1)).await,
            }
        }
    });
    claimed.await.expect("a slice is ready")
}

#[tokio::test(flavor = "multi_thread")]
async fn a_claim_that_nobody_knows_of_is_rescued() {
    async fn claim(scene: &Scene, seen: &mut Seen) {
        let world = &scene.world;
        let id = world.submit(1, 1).await;
        let claim = match scene.cut_off.claim(&worker("cut")).await {
            Ok(Some(claim)) => claim,
            // A try that was cut off still holds the slice, until the server notices.
            Ok(None) => patient_claim(&world.store).await,
            Err(fault) => {
                told(&fault);
                world.jump(world.store.lease() * 2).await;
                let rescued = world.store.rescue().await.unwrap().slices;
                seen.count(rescued == 1);
                patient_claim(&world.store).await
            }
        };
        assert!(world.nothing_to_claim().await);
        world.store.beat(&claim).await.unwrap();
        world.store.delete(&id).await.unwrap();
    }
    let scene = scene().await;
    cut_everywhere!(scene, claim);
}

fn completion<'a>(successors: &'a [leanwright_store::Successor]) -> Completion<'a> {
    Completion {
        checkpoint: b"bytes",
        readers: 1,
        successors,
        event: Some(("epoch", b"{}")),
        ..Completion::default()
    }
}

/// Whether the second try finds that the first took place.
fn was_taken(second: Result<(), Error>) -> bool {
    match second {
        Ok(()) => false,
        Err(Error::LeaseLost) => true,
        Err(other) => panic!("{other}"),
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_slice_is_completed_once() {
    async fn complete(scene: &Scene, seen: &mut Seen) {
        let world = &scene.world;
        let id = world.submit(1, 2).await;
        let claim = world.claim("a").await;
        let successors = ring(&claim, 1, 2);
        let done = completion(&successors);
        if let Err(fault) = scene.cut_off.complete(&claim, &done).await {
            told(&fault);
            seen.count(was_taken(scene.cut_off.complete(&claim, &done).await));
        }
        let next = world.claim("b").await;
        assert_eq!(next.key, key(1, 0));
        assert_eq!(
            world.store.checkpoint(&next, key(0, 0)).await.unwrap(),
            b"bytes"
        );
        assert!(world.nothing_to_claim().await);
        let events = world.store.events(&id, 0, 100).await.unwrap();
        assert_eq!(
            events.iter().filter(|event| event.kind == "epoch").count(),
            1
        );
        world.store.delete(&id).await.unwrap();
    }
    let scene = scene().await;
    cut_everywhere!(scene, complete);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_result_is_published_once() {
    async fn publish(scene: &Scene, seen: &mut Seen) {
        let world = &scene.world;
        let id = world.submit(1, 1).await;
        let claim: Claim = world.claim("a").await;
        let result = Published {
            front: b"front".to_vec(),
            candidates: vec![b"zero".to_vec(), b"one".to_vec()],
            event: b"{}".to_vec(),
        };
        if let Err(fault) = scene.cut_off.publish(&claim, &result).await {
            told(&fault);
            seen.count(was_taken(scene.cut_off.publish(&claim, &result).await));
        }
        assert_eq!(world.store.job(&id).await.unwrap().state, JobState::Done);
        assert_eq!(world.store.front(&id).await.unwrap().body, b"front");
        assert_eq!(world.store.candidate(&id, 1).await.unwrap(), b"one");
        world.store.delete(&id).await.unwrap();
    }
    let scene = scene().await;
    cut_everywhere!(scene, publish);
}

/// Reading changes nothing, so no fault is told at all.
#[tokio::test(flavor = "multi_thread")]
async fn reads_are_tried_again() {
    let scene = scene().await;
    let id = scene.world.submit(1, 1).await;
    for heard in [false, true] {
        for number in 0..12 {
            scene.between.arm(Cut {
                at: At::Message(number),
                heard,
            });
            let read = tokio::time::timeout(Duration::from_secs(30), scene.cut_off.job(&id));
            assert_eq!(read.await.unwrap().unwrap().id, id);
        }
    }
}
