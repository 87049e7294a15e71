//! What stands between the network and the routes: Host, Origin, token, headers, time.

mod answer;
mod origin;
mod token;

pub use answer::{bound_time, catch_panics, count, protect};
pub use origin::{Hosts, check_host_and_origin};
pub use token::{Token, TokenError, check_token};
