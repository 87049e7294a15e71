//! Host and Origin: a page from elsewhere must not drive this server through a browser.
//!
//! A rebound domain name arrives with a foreign Host; a foreign page's script arrives with a
//! foreign Origin. Names are refused unless listed; on the own machine only its own addresses
//! pass, elsewhere any literal address does, since a literal address cannot be rebound.

use std::net::{IpAddr, SocketAddr};

use axum::extract::{Request, State};
use axum::http::{HeaderMap, Uri, header};
use axum::middleware::Next;
use axum::response::Response;

use crate::problem::Problem;
use crate::problem_kind::Kind;
use crate::state::App;

/// The hosts this server answers for.
#[derive(Clone, Debug)]
pub struct Hosts {
    only_own_machine: bool,
    names: Vec<String>,
}

impl Hosts {
    /// The hosts of a server listening on `listen`, with further names it is known by.
    pub fn new(listen: &SocketAddr, names: &[String]) -> Self {
        Self {
            only_own_machine: listen.ip().is_loopback(),
            names: names.iter().map(|name| name.to_ascii_lowercase()).collect(),
        }
    }

    fn admits(&self, authority: &str) -> bool {
        let Some(host) = host_of(authority) else {
            return false;
        };
        match host.parse::<IpAddr>() {
            Ok(address) => !self.only_own_machine || address.is_loopback(),
            Err(_) => host == "localhost" || self.names.contains(&host),
        }
    }
}

/// The host part of `host[:port]` in lower case, without the brackets of an IPv6 address.
fn host_of(authority: &str) -> Option<String> {
    let authority = authority.trim().to_ascii_lowercase();
    let (host, port) = match authority.strip_prefix('[') {
        Some(rest) => rest.split_once(']')?,
        None => match authority.find(':') {
            Some(at) => authority.split_at(at),
            None => (authority.as_str(), ""),
        },
    };
    let port_is_sound = match port.strip_prefix(':') {
        Some(digits) => digits.is_empty() || digits.parse::<u16>().is_ok(),
        None => port.is_empty(),
    };
    (port_is_sound && !host.is_empty()).then(|| host.to_owned())
}

/// Refuses foreign hosts and foreign origins.
pub async fn check_host_and_origin(
    State(app): State<App>,
    request: Request,
    next: Next,
) -> Result<Response, Problem> {
    let authority = authority(request.headers(), request.uri())?;
    if !app.hosts().admits(&authority) {
        return Err(Problem::new(
            Kind::ForeignHost,
            format!("this server does not answer for the host \"{authority}\""),
        ));
    }
    if let Some(origin) = request.headers().get(header::ORIGIN) {
        let origin = origin.to_str().unwrap_or("not text");
        if !same_origin(origin, &authority) {
            return Err(Problem::new(
                Kind::ForeignOrigin,
                format!("requests from the origin \"{origin}\" are refused"),
            ));
        }
    }
    Ok(next.run(request).await)
}

fn authority(headers: &HeaderMap, uri: &Uri) -> Result<String, Problem> {
    let mut hosts = headers.get_all(header::HOST).iter();
    let from_header = hosts.next().and_then(|value| value.to_str().ok());
    if hosts.next().is_some() {
        return Err(Problem::new(
            Kind::ForeignHost,
            "there are two Host headers",
        ));
    }
    from_header
        .or(uri.authority().map(|authority| authority.as_str()))
        .map(str::to_owned)
        .ok_or_else(|| Problem::new(Kind::ForeignHost, "there is no Host header"))
}

fn same_origin(origin: &str, authority: &str) -> bool {
    let rest = origin
        .strip_prefix("http://")
        .or_else(|| origin.strip_prefix("https://"));
    rest.is_some_and(|rest| rest.eq_ignore_ascii_case(authority))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hosts(listen: &str, names: &[&str]) -> Hosts {
        let names: Vec<String> = names.iter().map(|name| (*name).to_owned()).collect();
        Hosts::new(&listen.parse().unwrap(), &names)
    }

    #[test]
    fn the_own_machine_answers_for_its_own_addresses_only() {
        let hosts = hosts("127.0.0.1:8080", &[]);
        for own in ["127.0.0.1:8080", "localhost", "LOCALHOST:80", "[::1]:8080"] {
            assert!(hosts.admits(own), "{own}");
        }
        for foreign in [
            "rebound.example:8080",
            "192.0.2.7:8080",
            "127.0.0.1.rebound.example",
            "localhost:99999",
            "localhost:80@rebound.example",
            "[::1",
            "",
        ] {
            assert!(!hosts.admits(foreign), "{foreign}");
        }
    }

    #[test]
    fn elsewhere_literal_addresses_and_listed_names_pass() {
        let hosts = hosts("0.0.0.0:8080", &["Bench.example"]);
        assert!(hosts.admits("192.0.2.7:8080"));
        assert!(hosts.admits("bench.example:443"));
        assert!(!hosts.admits("rebound.example"));
    }

    #[test]
    fn an_origin_is_own_only_when_it_equals_the_host() {
        assert!(same_origin("http://127.0.0.1:8080", "127.0.0.1:8080"));
        assert!(!same_origin("http://127.0.0.1:8081", "127.0.0.1:8080"));
        assert!(!same_origin("null", "127.0.0.1:8080"));
        assert!(!same_origin("file://", ""));
    }
}
