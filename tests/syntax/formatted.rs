//! A text, formatted: nothing of its tree may change.

use super::dump::dump;
use flamacue::source::{Diagnostics, Source};
use flamacue::syntax::{format, parse};

/// The tree without places, and the formatted text, of a file without faults.
fn formatted(text: &str) -> (String, String) {
    let source = Source::new("format.flam", text);
    let mut diagnostics = Diagnostics::default();
    let document = parse(&source, &mut diagnostics);
    assert!(!diagnostics.has_errors(), "{text}\n{}", diagnostics.render(&source, false));
    (dump(&document), format(&source, &document))
}

/// Formats, and checks that the tree stays and that formatting again changes nothing.
pub fn checked(text: &str) -> String {
    let (tree, once) = formatted(text);
    let (tree_of_once, twice) = formatted(&once);
    assert_eq!(tree, tree_of_once, "from\n{text}\nto\n{once}");
    assert_eq!(once, twice, "from\n{text}");
    once
}
