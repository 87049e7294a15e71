//! A server on a store of its own, and short ways to ask it.

use axum::Router;
use axum::body::Body;
use axum::http::{HeaderMap, Request, StatusCode, header};
use axum::response::Response;
use http_body_util::BodyExt;
use leanwright_service::{App, Hosts, Kind, Limits, Problem, Setup, Token, router};
use serde_json::Value;
use store::{JobId, Options, Published, Store, WorkerInfo};
use tower::ServiceExt;

pub const JOB: &str = include_str!("../../../../demo-jobs/rod-ends.json");
pub const VEHICLE: &str = include_str!("../../../../demo-jobs/vehicles/orchard-hauler.json");

pub struct World {
    pub app: App,
    pub router: Router,
    _folder: tempfile::TempDir,
}

#[derive(Debug)]
pub struct Answer {
    pub status: StatusCode,
    pub headers: HeaderMap,
    pub body: Vec<u8>,
}

impl World {
    pub async fn new() -> Self {
        Self::with(Limits::default(), None).await
    }

    pub async fn with(limits: Limits, token: Option<&str>) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("store.sqlite");
        let mut options = Options::new(path.to_str().unwrap());
        options.open_jobs = limits.open_jobs;
        let store = Store::open(&options).await.unwrap();
        let setup = Setup {
            limits,
            hosts: Hosts::new(&"127.0.0.1:8080".parse().unwrap(), &[]),
            token: token.map(|text| Token::new(text).unwrap()),
        };
        let app = App::new(store, setup).unwrap();
        Self {
            router: router(app.clone()),
            app,
            _folder: folder,
        }
    }

    pub async fn open(&self, request: Request<Body>) -> Response {
        self.router.clone().oneshot(request).await.unwrap()
    }

    pub async fn ask(&self, request: Request<Body>) -> Answer {
        let (parts, body) = self.open(request).await.into_parts();
        Answer {
            status: parts.status,
            headers: parts.headers,
            body: body.collect().await.unwrap().to_bytes().to_vec(),
        }
    }

    pub async fn get(&self, path: &str) -> Answer {
        self.ask(get(path)).await
    }

    pub async fn post(&self, path: &str, body: impl Into<Body>) -> Answer {
        self.ask(post(path, body)).await
    }

    /// The server goes on serving: what every bad request is followed by.
    pub async fn still_serves(&self) {
        assert_eq!(self.get("/healthz").await.status, StatusCode::OK);
        assert_eq!(self.get("/v1/jobs").await.status, StatusCode::OK);
    }

    pub async fn submit(&self) -> JobId {
        let answer = self.post("/v1/jobs", JOB).await;
        assert_eq!(answer.status, StatusCode::CREATED, "{answer:?}");
        JobId::parse(answer.json()["id"].as_str().unwrap()).unwrap()
    }

    /// Submits a job and publishes these candidates as its front, as a worker would.
    pub async fn publish(&self, candidates: &[Value]) -> JobId {
        let front = serde_json::json!({ "candidates": candidates });
        self.publish_front(&front, candidates).await
    }

    /// The same with a front document of its own.
    pub async fn publish_front(&self, front: &Value, candidates: &[Value]) -> JobId {
        let id = self.submit().await;
        let worker = WorkerInfo {
            name: "by hand".into(),
            build: "test".into(),
            threads: 1,
        };
        let store = self.app.store();
        let claim = store.claim(&worker).await.unwrap().unwrap();
        assert_eq!(claim.job, id);
        let bytes = |value: &Value| serde_json::to_vec(value).unwrap();
        let result = Published {
            front: bytes(front),
            candidates: candidates.iter().map(bytes).collect(),
            event: b"{}".to_vec(),
        };
        store.publish(&claim, &result).await.unwrap();
        id
    }
}

impl Answer {
    pub fn json(&self) -> Value {
        serde_json::from_slice(&self.body).unwrap_or_else(|error| panic!("{error}: {self:?}"))
    }

    pub fn text(&self) -> &str {
        std::str::from_utf8(&self.body).unwrap()
    }

    pub fn header(&self, name: &str) -> &str {
        let value = self.headers.get(name);
        value
            .unwrap_or_else(|| panic!("no {name}: {self:?}"))
            .to_str()
            .unwrap()
    }

    /// Asserts that this is a whole problem document of the kind, and gives it.
    pub fn problem(&self, kind: Kind) -> Problem {
        assert_eq!(self.header("content-type"), "application/problem+json");
        let problem: Problem = serde_json::from_slice(&self.body).unwrap();
        assert!(problem.is(kind), "{problem:?}");
        assert_eq!(problem.title, kind.title());
        assert_eq!(problem.status, self.status.as_u16());
        assert_eq!(self.status, kind.status());
        assert!(!problem.detail.is_empty());
        problem
    }
}

pub fn get(path: &str) -> Request<Body> {
    Request::get(path)
        .header(header::HOST, "127.0.0.1:8080")
        .body(Body::empty())
        .unwrap()
}

pub fn get_with(path: &str, name: &str, value: &str) -> Request<Body> {
    let mut request = get(path);
    let name: header::HeaderName = name.parse().unwrap();
    request.headers_mut().insert(name, value.parse().unwrap());
    request
}

pub fn post(path: &str, body: impl Into<Body>) -> Request<Body> {
    Request::post(path)
        .header(header::HOST, "127.0.0.1:8080")
        .header(header::CONTENT_TYPE, "application/json")
        .body(body.into())
        .unwrap()
}
