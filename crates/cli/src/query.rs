//! The query of an address.

/// The parameters that are given as `?name=value&…`, or nothing.
pub fn query(parameters: &[(&str, Option<&str>)]) -> String {
    let mut text = String::new();
    for (name, value) in parameters {
        if let Some(value) = value {
            let sign = if text.is_empty() { '?' } else { '&' };
            text.push(sign);
            text.push_str(&format!("{name}={}", encoded(value)));
        }
    }
    text
}

/// Percent-encoding of all but the unreserved characters of RFC 3986, section 2.3.
fn encoded(value: &str) -> String {
    let one = |byte: u8| match byte {
        b'A'..=b'Z' | b'a'..=b'z' | b'0'..=b'9' | b'-' | b'.' | b'_' | b'~' => {
            char::from(byte).to_string()
        }
        byte => format!("%{byte:02X}"),
    };
    value.bytes().map(one).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_cannot_end_their_parameter() {
        let parameters = [("a", Some("x&y=1 é")), ("b", None), ("c", Some("~"))];
        assert_eq!(query(&parameters), "?a=x%26y%3D1%20%C3%A9&c=~");
        assert_eq!(query(&[("a", None)]), "");
    }
}
