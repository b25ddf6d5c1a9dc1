//! Addresses of files (RFC 8089) and their paths.

use lsp_types::Uri;
use std::fmt::Write;
use std::str::FromStr;

const SCHEME: &str = "file://";

/// The path of an address of a file on this machine; nothing for other addresses, as those of texts that were
/// never saved.
pub fn path(uri: &str) -> Option<String> {
    let rest = uri.strip_prefix(SCHEME)?;
    // A host stands before the path; no other than this one is known.
    let rest = rest.strip_prefix("localhost").unwrap_or(rest);
    let path = decoded(rest.split(['?', '#']).next().unwrap_or(rest))?;
    // `/c:/lessons` is `c:/lessons`.
    let mut letters = path.chars();
    let drive = letters.next() == Some('/')
        && letters.next().is_some_and(|c| c.is_ascii_alphabetic())
        && letters.next() == Some(':');
    if drive { path.get(1..).map(str::to_owned) } else { Some(path).filter(|p| p.starts_with('/')) }
}

/// The address of a path.
pub fn of_path(path: &str) -> Option<Uri> {
    let mut text = SCHEME.to_owned();
    if !path.starts_with('/') {
        text.push('/');
    }
    for byte in path.bytes() {
        let plain = byte.is_ascii_alphanumeric() || b"/-._~".contains(&byte);
        if plain {
            text.push(char::from(byte));
        } else {
            // Writing to a string does not fail.
            let _ = write!(text, "%{byte:02X}");
        }
    }
    Uri::from_str(&text).ok()
}

fn decoded(text: &str) -> Option<String> {
    let mut bytes = Vec::with_capacity(text.len());
    let mut rest = text.bytes();
    while let Some(byte) = rest.next() {
        if byte != b'%' {
            bytes.push(byte);
            continue;
        }
        let digit = |byte: u8| char::from(byte).to_digit(16);
        let value = digit(rest.next()?)? * 16 + digit(rest.next()?)?;
        bytes.push(u8::try_from(value).ok()?);
    }
    String::from_utf8(bytes).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn addresses_and_paths() {
        for (uri, wanted) in [
            ("file:///a/b.flam", Some("/a/b.flam")),
            ("file://localhost/a/b.flam", Some("/a/b.flam")),
            ("file:///a/two%20words/%C3%9F.flam", Some("/a/two words/ß.flam")),
            ("file:///c%3A/lessons/a.flam", Some("c:/lessons/a.flam")),
            ("file://elsewhere/a.flam", None),
            ("file:///a%2", None),
            ("file:///a%FF", None),
            ("untitled:one", None),
        ] {
            assert_eq!(path(uri).as_deref(), wanted, "{uri}");
        }
        let uri = of_path("/a/two words/ß#1.flam").expect("an address");
        assert_eq!(uri.as_str(), "file:///a/two%20words/%C3%9F%231.flam");
        assert_eq!(path(uri.as_str()).as_deref(), Some("/a/two words/ß#1.flam"));
    }
}
