//! Content negotiation and entity tags (RFC 9110, sections 12.5.1, 13.1.2).

use axum::http::{HeaderMap, header};

/// The offered media type the caller likes best, earlier offers first among equals.
///
/// `None` when the caller accepts none of them. Without an Accept header all are acceptable.
pub fn choose<'a>(headers: &HeaderMap, offers: &[&'a str]) -> Option<&'a str> {
    let accept: Vec<&str> = texts(headers, header::ACCEPT).collect();
    if accept.is_empty() {
        return offers.first().copied();
    }
    let mut best = None;
    for offer in offers {
        let weight = weight(&accept, offer);
        if weight > 0 && best.is_none_or(|(_, most)| weight > most) {
            best = Some((*offer, weight));
        }
    }
    best.map(|(offer, _)| offer)
}

/// The weight in thousandths that the most specific matching range gives to `offer`.
fn weight(accept: &[&str], offer: &str) -> u32 {
    let (kind, _) = offer.split_once('/').unwrap_or((offer, ""));
    let any_of_kind = format!("{kind}/*");
    let mut found = (0, 0);
    for range in accept {
        let mut parts = range.split(';').map(str::trim);
        let name = parts.next().unwrap_or_default();
        let precision = if name.eq_ignore_ascii_case(offer) {
            3
        } else if name.eq_ignore_ascii_case(&any_of_kind) {
            2
        } else if name == "*/*" {
            1
        } else {
            continue;
        };
        if precision > found.0 {
            found = (precision, quality(parts));
        }
    }
    found.1
}

fn quality<'a>(mut parameters: impl Iterator<Item = &'a str>) -> u32 {
    let text = parameters.find_map(|part| part.strip_prefix("q=").or(part.strip_prefix("Q=")));
    match text.map(str::parse::<f64>) {
        None => 1000,
        Some(Ok(value)) if (0.0..=1.0).contains(&value) => (value * 1000.0).round() as u32,
        Some(_) => 0,
    }
}

/// Whether the caller already holds the representation with this tag (without its quotes).
pub fn held(headers: &HeaderMap, tag: &str) -> bool {
    texts(headers, header::IF_NONE_MATCH).any(|text| {
        let text = text.strip_prefix("W/").unwrap_or(text);
        text == "*" || text.trim_matches('"') == tag
    })
}

fn texts(headers: &HeaderMap, name: header::HeaderName) -> impl Iterator<Item = &str> {
    let values = headers.get_all(name).into_iter();
    values
        .filter_map(|value| value.to_str().ok())
        .flat_map(|text| text.split(','))
        .map(str::trim)
        .filter(|text| !text.is_empty())
}

#[cfg(test)]
mod tests {
    use super::*;
    use axum::http::HeaderValue;

    const OFFERS: [&str; 2] = ["application/json", "text/csv"];

    fn chosen(accept: &'static str) -> Option<&'static str> {
        let mut headers = HeaderMap::new();
        headers.insert(header::ACCEPT, HeaderValue::from_static(accept));
        choose(&headers, &OFFERS)
    }

    #[test]
    fn the_callers_weights_decide_and_ties_go_to_the_first_offer() {
        assert_eq!(choose(&HeaderMap::new(), &OFFERS), Some("application/json"));
        assert_eq!(chosen("*/*"), Some("application/json"));
        assert_eq!(chosen("text/csv"), Some("text/csv"));
        assert_eq!(chosen("text/*, application/json;q=0.5"), Some("text/csv"));
        assert_eq!(chosen("text/csv;q=0, */*"), Some("application/json"));
        assert_eq!(
            chosen("application/*;q=0.2, text/csv; q=0.3"),
            Some("text/csv")
        );
        assert_eq!(chosen("image/png"), None);
        assert_eq!(chosen("text/csv;q=7"), None);
    }

    #[test]
    fn tags_are_compared_weakly() {
        let mut headers = HeaderMap::new();
        headers.insert(
            header::IF_NONE_MATCH,
            HeaderValue::from_static("\"a\", W/\"b\""),
        );
        assert!(held(&headers, "a") && held(&headers, "b") && !held(&headers, "c"));
    }
}
