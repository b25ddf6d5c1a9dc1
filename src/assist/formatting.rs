//! A text with its rows in columns, as the lines that change.

use crate::source::{Diagnostics, Source};
use crate::syntax;
use std::ops::Range;

/// A byte-order mark.
const MARK: char = '\u{feff}';

/// The formatted text of the file a source starts with.
///
/// # Errors
/// What is wrong with it, where anything is that another file could not make good: then it is left alone.
pub fn formatted(source: &Source) -> Result<String, Box<Diagnostics>> {
    let mut diagnostics = Diagnostics::default();
    let document = syntax::parse(source, &mut diagnostics);
    let reading = crate::interpret::read(&document, &mut diagnostics);
    let budget = crate::derive::Budget::of(source);
    let score =
        crate::derive::complete(reading, &crate::perform::can_play, budget, &mut diagnostics);
    crate::perform::check(source, &score, &mut diagnostics);
    crate::interpret::drop_followers_of_missing_files(&mut diagnostics);
    // A chapter may name blocks of other chapters, which are not known here.
    if diagnostics.has_own_errors() {
        return Err(Box::new(diagnostics));
    }
    Ok(syntax::format(source, &document))
}

/// The changes that make one text of another, line by line, by the bytes that are replaced. Line ends and a
/// byte-order mark stay as they are.
#[must_use]
pub fn changed_lines(before: &str, after: &str) -> Vec<(Range<usize>, String)> {
    let bare = before.strip_prefix(MARK).unwrap_or(before);
    let mut at = before.len() - bare.len();
    let wide = bare.matches("\r\n").count() * 2 > bare.matches('\n').count();
    let end = if wide { "\r\n" } else { "\n" };
    let mut changes = Vec::new();
    let mut wanted = after.lines();
    let mut kept = at;
    for line in bare.split_inclusive('\n') {
        let content = line.strip_suffix('\n').unwrap_or(line);
        let content = content.strip_suffix('\r').unwrap_or(content);
        let Some(new) = wanted.next() else { break };
        if new != content {
            changes.push((at..at + content.len(), new.to_owned()));
        }
        at += line.len();
        kept = at;
        if content.len() == line.len() {
            changes.push((at..at, end.to_owned()));
        }
    }
    let rest: String = wanted.map(|line| format!("{line}{end}")).collect();
    if kept < before.len() || !rest.is_empty() {
        changes.push((kept..before.len(), rest));
    }
    changes
}

#[cfg(test)]
mod tests {
    use super::*;

    fn applied(before: &str, after: &str) -> String {
        let mut text = before.to_owned();
        for (range, new) in changed_lines(before, after).into_iter().rev() {
            text.replace_range(range, &new);
        }
        text
    }

    #[test]
    fn the_changed_lines_make_the_new_text() {
        for (before, after, made) in [
            ("a\nb\n", "a\nb\n", "a\nb\n"),
            ("a\n b\n\n\n", "a\nb\n", "a\nb\n"),
            ("a\r\n b\r\n", "a\nb\n", "a\r\nb\r\n"),
            ("\u{feff}a \nb", "a\nb\n", "\u{feff}a\nb\n"),
            ("", "", ""),
            ("a", "a\nb\n", "a\nb\n"),
        ] {
            assert_eq!(applied(before, after), made, "{before:?}");
        }
        assert!(changed_lines("a\nb\n", "a\nb\n").is_empty());
        assert_eq!(changed_lines("a\n b\nc\n", "a\nb\nc\n"), [(2..4, "b".to_owned())]);
    }
}
