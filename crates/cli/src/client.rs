//! The caller's side of the HTTP interface.

use std::io::Read;
use std::time::Duration;

use serde_json::Value;
use service::{Kind, Problem, Token};
use ureq::http::Response;
use ureq::{Agent, Body, RequestBuilder};

/// A server as this command reaches it.
#[derive(Debug)]
pub struct Client {
    agent: Agent,
    base: String,
    token: Option<Token>,
}

impl Client {
    /// A client for the server at `base`, such as `http://127.0.0.1:8080`.
    pub fn new(base: &str, token: Option<Token>) -> Self {
        let config = Agent::config_builder()
            .http_status_as_error(false)
            .timeout_connect(Some(Duration::from_secs(10)))
            .max_redirects(0)
            .proxy(None)
            .build();
        Self {
            agent: config.into(),
            base: base.trim_end_matches('/').to_owned(),
            token,
        }
    }

    /// Fetches a JSON resource.
    pub fn get(&self, path: &str) -> Result<Value, Problem> {
        json(self.open(path, "application/json", None)?)
    }

    /// Fetches a resource in the given media type as text.
    pub fn get_text(&self, path: &str, accept: &str) -> Result<String, Problem> {
        text(self.open(path, accept, None)?)
    }

    /// Opens a stream of events after the one numbered `last`.
    pub fn events(&self, path: &str, last: Option<u64>) -> Result<impl Read + use<>, Problem> {
        let response = self.open(path, "text/event-stream", last)?;
        Ok(response.into_body().into_reader())
    }

    /// Posts a JSON document.
    pub fn post(&self, path: &str, body: &str, key: Option<&str>) -> Result<Value, Problem> {
        let mut request = self.with_token(self.agent.post(self.url(path)));
        if let Some(key) = key {
            request = request.header("Idempotency-Key", key);
        }
        let request = request.header("Content-Type", "application/json");
        json(self.accepted(request.send(body))?)
    }

    /// Posts a body of another media type.
    pub fn post_as(&self, path: &str, body: &[u8], media_type: &str) -> Result<Value, Problem> {
        let request = self.with_token(self.agent.post(self.url(path)));
        let request = request.header("Content-Type", media_type);
        json(self.accepted(request.send(body))?)
    }

    /// Posts a JSON document to a saved vehicle, if it still has the revision seen.
    pub fn post_seen(&self, path: &str, body: &str, seen: Option<u64>) -> Result<Value, Problem> {
        let request = if_match(self.with_token(self.agent.post(self.url(path))), seen);
        let request = request.header("Content-Type", "application/json");
        json(self.accepted(request.send(body))?)
    }

    /// Sends changes to a saved vehicle, if it still has the revision seen.
    pub fn patch_seen(&self, path: &str, body: &str, seen: Option<u64>) -> Result<Value, Problem> {
        let request = if_match(self.with_token(self.agent.patch(self.url(path))), seen);
        let request = request.header("Content-Type", "application/json");
        json(self.accepted(request.send(body))?)
    }

    /// Sends changes to a resource.
    pub fn patch(&self, path: &str, body: &str) -> Result<Value, Problem> {
        self.patch_seen(path, body, None)
    }

    /// Deletes a resource.
    pub fn delete(&self, path: &str) -> Result<(), Problem> {
        let request = self.with_token(self.agent.delete(self.url(path)));
        self.accepted(request.call()).map(drop)
    }

    fn with_token<B>(&self, request: RequestBuilder<B>) -> RequestBuilder<B> {
        match &self.token {
            Some(token) => request.header("Authorization", bearer(token)),
            None => request,
        }
    }

    fn open(&self, path: &str, accept: &str, last: Option<u64>) -> Result<Response<Body>, Problem> {
        let mut request = self.with_token(self.agent.get(self.url(path)));
        request = request.header("Accept", accept);
        if let Some(last) = last {
            request = request.header("Last-Event-ID", last.to_string());
        }
        self.accepted(request.call())
    }

    fn url(&self, path: &str) -> String {
        format!("{}{path}", self.base)
    }

    fn accepted(
        &self,
        answer: Result<Response<Body>, ureq::Error>,
    ) -> Result<Response<Body>, Problem> {
        let response = answer.map_err(|error| unreachable(&self.base, &error.to_string()))?;
        let status = response.status();
        if status.is_success() {
            return Ok(response);
        }
        let body = text(response)?;
        let problem = serde_json::from_str::<Problem>(&body).unwrap_or_else(|_| {
            let detail = format!("{} answered {status} without a problem document", self.base);
            Problem::new(Kind::ServerUnreachable, detail)
        });
        Err(problem)
    }
}

fn if_match<B>(request: RequestBuilder<B>, seen: Option<u64>) -> RequestBuilder<B> {
    match seen {
        Some(revision) => request.header("If-Match", format!("\"r{revision}\"")),
        None => request,
    }
}

fn bearer(token: &Token) -> String {
    format!("Bearer {}", token.reveal())
}

fn text(mut response: Response<Body>) -> Result<String, Problem> {
    response
        .body_mut()
        .with_config()
        .limit(256 << 20)
        .read_to_string()
        .map_err(|error| unreachable("the server", &error.to_string()))
}

fn json(response: Response<Body>) -> Result<Value, Problem> {
    let body = text(response)?;
    serde_json::from_str(&body)
        .map_err(|error| unreachable("the server", &format!("its answer is not JSON: {error}")))
}

fn unreachable(base: &str, error: &str) -> Problem {
    Problem::new(Kind::ServerUnreachable, format!("{base}: {error}"))
}
