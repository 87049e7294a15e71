//! Text from callers made harmless in XML and HTML.

/// Text for XML and HTML, in content and in quoted attributes. Characters that XML 1.0 cannot
/// hold become U+FFFD; line breaks and tabs stay.
pub fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\t' | '\n' | '\r' => out.push(c),
            c if c.is_control() || c == '\u{FFFE}' || c == '\u{FFFF}' => out.push('\u{FFFD}'),
            c if turns_text(c) => out.push('\u{FFFD}'),
            c => out.push(c),
        }
    }
    out
}

/// Marks that turn the reading direction of what follows, beyond their own text.
fn turns_text(c: char) -> bool {
    matches!(c, '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}')
}

/// At most `most` characters, the rest given by an ellipsis; white space becomes single spaces.
pub(crate) fn shortened(text: &str, most: usize) -> String {
    let one_line = text.split_whitespace().collect::<Vec<_>>().join(" ");
    if one_line.chars().count() <= most {
        return one_line;
    }
    let mut kept: String = one_line.chars().take(most.saturating_sub(1)).collect();
    kept.truncate(kept.trim_end().len());
    kept.push('…');
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn markup_and_control_characters_lose_their_meaning() {
        let nasty = "</title><script>alert('1')</script>&\" \u{0}\u{1b}\u{202e}x";
        assert_eq!(
            escape(nasty),
            "&lt;/title&gt;&lt;script&gt;alert(&#39;1&#39;)&lt;/script&gt;&amp;&quot; \
             \u{FFFD}\u{FFFD}\u{FFFD}x"
        );
        assert_eq!(escape("Größe → 3 mm\tè"), "Größe → 3 mm\tè");
    }

    #[test]
    fn long_text_is_cut_by_characters_not_bytes() {
        assert_eq!(shortened("ä b\n c", 9), "ä b c");
        assert_eq!(shortened("äöü äöü", 5), "äöü…");
    }
}
