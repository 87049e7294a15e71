//! The bearer token that every address but the own machine's requires.

use std::fmt;
use std::fs;
use std::path::Path;

use axum::extract::{Request, State};
use axum::http::{HeaderMap, header};
use axum::middleware::Next;
use axum::response::Response;
use subtle::ConstantTimeEq;

use crate::problem::Problem;
use crate::problem_kind::Kind;
use crate::state::App;

const SHORTEST: usize = 16;

/// A secret that callers must present. Its text is never printed.
#[derive(Clone)]
pub struct Token(String);

/// Why a token file is refused.
#[derive(Debug)]
pub enum TokenError {
    /// The file cannot be read.
    Unreadable(std::io::Error),
    /// The first line has too few characters to be a secret.
    TooShort(usize),
    /// The token has characters that a header cannot carry.
    NotPlain,
}

impl fmt::Display for TokenError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unreadable(error) => write!(f, "the token file cannot be read: {error}"),
            Self::TooShort(length) => write!(
                f,
                "the token has {length} characters; at least {SHORTEST} are required"
            ),
            Self::NotPlain => write!(
                f,
                "the token may only hold visible ASCII characters without spaces"
            ),
        }
    }
}

impl std::error::Error for TokenError {}

impl fmt::Debug for Token {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Token(hidden)")
    }
}

impl Token {
    /// A token from its text.
    ///
    /// # Errors
    /// When it is shorter than 16 characters or a header cannot carry it.
    pub fn new(text: &str) -> Result<Self, TokenError> {
        if !text.chars().all(|c| c.is_ascii_graphic()) {
            return Err(TokenError::NotPlain);
        }
        if text.len() < SHORTEST {
            return Err(TokenError::TooShort(text.len()));
        }
        Ok(Self(text.to_owned()))
    }

    /// Reads the token from a file; white space around it is ignored.
    ///
    /// # Errors
    /// When the file cannot be read or holds no usable token.
    pub fn read(path: &Path) -> Result<Self, TokenError> {
        let text = fs::read_to_string(path).map_err(TokenError::Unreadable)?;
        Self::new(text.trim())
    }

    /// The text, for the caller's side of the connection.
    pub fn reveal(&self) -> &str {
        &self.0
    }

    fn matches(&self, presented: &str) -> bool {
        self.0.as_bytes().ct_eq(presented.as_bytes()).into()
    }
}

/// Refuses requests without the token, when the server has one. Probes need none, nor do the files of
/// the page, which hold no data and ask for the token.
pub async fn check_token(
    State(app): State<App>,
    request: Request,
    next: Next,
) -> Result<Response, Problem> {
    let path = request.uri().path();
    let open = matches!(path, "/" | "/healthz" | "/readyz") || path.starts_with("/page/");
    match app.token() {
        Some(token) if !open => admit(token, request.headers())?,
        _ => {}
    }
    Ok(next.run(request).await)
}

fn admit(token: &Token, headers: &HeaderMap) -> Result<(), Problem> {
    let presented = headers
        .get(header::AUTHORIZATION)
        .and_then(|value| value.to_str().ok())
        .and_then(|text| text.split_once(' '))
        .filter(|(scheme, _)| scheme.eq_ignore_ascii_case("bearer"))
        .map(|(_, token)| token.trim());
    match presented {
        Some(text) if token.matches(text) => Ok(()),
        Some(_) => Err(Problem::new(Kind::Unauthorised, "the token is wrong")),
        None => Err(Problem::new(
            Kind::Unauthorised,
            "this server requires a bearer token",
        )),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_token_is_long_plain_and_never_printed() {
        assert!(matches!(Token::new("short"), Err(TokenError::TooShort(5))));
        assert!(matches!(
            Token::new("sixteen chars and spaces"),
            Err(TokenError::NotPlain)
        ));
        let token = Token::new("0123456789abcdef").unwrap();
        assert!(!format!("{token:?}").contains("0123"));
        assert!(token.matches("0123456789abcdef"));
        assert!(!token.matches("0123456789abcdeF"));
        assert!(!token.matches("0123456789abcdef0"));
    }
}
