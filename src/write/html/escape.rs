//! Words among tags.

/// Words that cannot leave their place.
pub(in crate::write) fn escape(words: &str) -> String {
    let mut escaped = String::with_capacity(words.len());
    for c in words.chars() {
        match c {
            '&' => escaped.push_str("&amp;"),
            '<' => escaped.push_str("&lt;"),
            '>' => escaped.push_str("&gt;"),
            '"' => escaped.push_str("&quot;"),
            '\u{FFFE}' | '\u{FFFF}' => {}
            c if c.is_control() && c != '\n' => {}
            c => escaped.push(c),
        }
    }
    escaped
}
