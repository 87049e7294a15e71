//! The URL of a PostgreSQL database.

use std::str::FromStr;

use sqlx::postgres::PgConnectOptions;

use crate::error::OpenError;

/// What may stand behind the question mark. Others are refused here, since the driver passes over
/// them and logs them with their values, which may be a mistyped password.
pub(crate) const URL_PARAMETERS: [&str; 14] = [
    "host",
    "hostaddr",
    "port",
    "dbname",
    "user",
    "password",
    "sslmode",
    "sslrootcert",
    "sslcert",
    "sslkey",
    "application_name",
    "statement-cache-capacity",
    "options",
    "options[NAME]",
];

/// How to connect to the database of this URL.
pub(super) fn postgres(url: &str) -> Result<PgConnectOptions, OpenError> {
    if let Some(name) = parameters(url).find(|name| !is_known(name)) {
        return Err(OpenError::UrlParameter {
            name: name.to_owned(),
        });
    }
    // What the parser has to say about a URL may quote it, so it is not passed on.
    let options = PgConnectOptions::from_str(url).map_err(|_| OpenError::Url)?;
    Ok(match options.get_application_name() {
        Some(_) => options,
        None => options.application_name("leanwright"),
    })
}

/// Names of the parameters as written.
fn parameters(url: &str) -> impl Iterator<Item = &str> {
    let behind = url.split_once('?').map_or("", |(_, behind)| behind);
    let behind = behind.split('#').next().unwrap_or_default();
    behind
        .split('&')
        .filter(|pair| !pair.is_empty())
        .map(|pair| pair.split_once('=').map_or(pair, |(name, _)| name))
}

fn is_known(name: &str) -> bool {
    URL_PARAMETERS.contains(&name) || name.starts_with("options[") && name.ends_with(']')
}
