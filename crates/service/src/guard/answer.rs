//! What every answer passes on its way out: panics caught, time bound, counting, protective headers.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::pin::pin;

use axum::extract::{MatchedPath, Request, State};
use axum::http::{HeaderValue, Method, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

use crate::problem::Problem;
use crate::problem_kind::Kind;
use crate::state::App;

const PROTECTION: [(&str, &str); 6] = [
    (
        "content-security-policy",
        "default-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'; \
         object-src 'none'",
    ),
    ("x-content-type-options", "nosniff"),
    ("x-frame-options", "DENY"),
    ("referrer-policy", "no-referrer"),
    ("cross-origin-resource-policy", "same-origin"),
    ("cross-origin-opener-policy", "same-origin"),
];

/// Adds the protective headers, and `no-store` where a route set no caching of its own.
pub async fn protect(request: Request, next: Next) -> Response {
    let mut response = next.run(request).await;
    let headers = response.headers_mut();
    for (name, value) in PROTECTION {
        // A report comes under a policy of its own.
        headers
            .entry(name)
            .or_insert(HeaderValue::from_static(value));
    }
    headers
        .entry(header::CACHE_CONTROL)
        .or_insert(HeaderValue::from_static("no-store"));
    response
}

/// Answers with a problem when a route takes longer than the limit to begin its answer.
pub async fn bound_time(State(app): State<App>, request: Request, next: Next) -> Response {
    let limit = app.limits().answer_time;
    match tokio::time::timeout(limit, next.run(request)).await {
        Ok(response) => response,
        Err(_) => Problem::new(
            Kind::TimedOut,
            format!("no answer within {} s", limit.as_secs_f64()),
        )
        .into_response(),
    }
}

/// Turns a panic in a route into a problem; the connection and the server go on.
pub async fn catch_panics(request: Request, next: Next) -> Response {
    let mut answer = pin!(next.run(request));
    let caught = std::future::poll_fn(|context| {
        // The route's future is dropped after a panic, so nothing half-done is seen again.
        match catch_unwind(AssertUnwindSafe(|| answer.as_mut().poll(context))) {
            Ok(poll) => poll.map(Ok),
            Err(_) => std::task::Poll::Ready(Err(())),
        }
    });
    caught.await.unwrap_or_else(|()| {
        Problem::new(Kind::Internal, "the request hit a fault of this software").into_response()
    })
}

/// Counts the request by method, route and status.
pub async fn count(State(app): State<App>, request: Request, next: Next) -> Response {
    let method = request.method().clone();
    let route = request
        .extensions()
        .get::<MatchedPath>()
        .map_or_else(|| "unmatched".to_owned(), |path| path.as_str().to_owned());
    let response = next.run(request).await;
    app.metrics()
        .count(known(&method), &route, response.status().as_u16());
    response
}

/// Methods a caller invents must not grow the table of counters.
fn known(method: &Method) -> &'static str {
    match *method {
        Method::GET => "GET",
        Method::HEAD => "HEAD",
        Method::POST => "POST",
        Method::PUT => "PUT",
        Method::DELETE => "DELETE",
        Method::PATCH => "PATCH",
        Method::OPTIONS => "OPTIONS",
        _ => "other",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use axum::Router;
    use axum::body::Body;
    use axum::http::StatusCode;
    use axum::middleware::from_fn;
    use axum::routing::get;
    use tower::ServiceExt;

    #[tokio::test]
    async fn a_panicking_route_is_a_problem_document() {
        async fn faulty() -> &'static str {
            tokio::task::yield_now().await;
            panic!("on purpose")
        }
        let router = Router::new().route("/", get(faulty));
        let router = router.layer(from_fn(catch_panics));
        for _ in 0..2 {
            let request = Request::get("/").body(Body::empty()).unwrap();
            let response = router.clone().oneshot(request).await.unwrap();
            assert_eq!(response.status(), StatusCode::INTERNAL_SERVER_ERROR);
            assert_eq!(
                response.headers()["content-type"],
                "application/problem+json"
            );
        }
    }
}
