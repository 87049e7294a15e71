//! The HTTP API over axum: resources under /v1, problem documents, OpenAPI from code.
