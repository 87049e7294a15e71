use axum::http::StatusCode;
use leanwright_service::{Kind, Limits};

use crate::world::{World, get_with};

#[tokio::test]
async fn the_page_comes_with_its_policy_and_is_not_sent_twice() {
    let world = World::new().await;
    let shell = world.get("/").await;
    assert_eq!(shell.status, StatusCode::OK);
    assert_eq!(shell.header("content-type"), "text/html; charset=utf-8");
    let policy = shell.header("content-security-policy");
    assert!(policy.contains("default-src 'self'") && !policy.contains("unsafe"));
    let script = world.get("/page/app.js").await;
    assert_eq!(
        script.header("content-type"),
        "text/javascript; charset=utf-8"
    );
    let again = world
        .ask(get_with(
            "/page/app.js",
            "if-none-match",
            script.header("etag"),
        ))
        .await;
    assert_eq!(again.status, StatusCode::NOT_MODIFIED);
    assert!(again.body.is_empty());
}

#[tokio::test]
async fn what_the_shell_names_is_there() {
    let world = World::new().await;
    let shell = world.get("/").await;
    let named: Vec<&str> = shell
        .text()
        .split('"')
        .filter(|text| text.starts_with("/page/"))
        .collect();
    assert!(named.len() > 5, "{named:?}");
    for path in named {
        assert_eq!(world.get(path).await.status, StatusCode::OK, "{path}");
    }
    let missing = world.get("/page/app.css").await;
    missing.problem(Kind::NotFound);
}

#[tokio::test]
async fn the_page_needs_no_token_and_gives_none_away() {
    let world = World::with(Limits::default(), Some("0123456789abcdef")).await;
    assert_eq!(world.get("/").await.status, StatusCode::OK);
    assert_eq!(world.get("/page/app.js").await.status, StatusCode::OK);
    for path in ["/v1/jobs", "/page", "/pages/app.js"] {
        let refused = world.get(path).await;
        assert_eq!(refused.status, StatusCode::UNAUTHORIZED, "{path}");
    }
}
