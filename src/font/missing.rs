//! Characters that no face has, told before they print as empty boxes.

use super::text::TextFonts;
use crate::source::{Code, Diagnostics, Source, Span};

/// The kind of fault: a character that no face has.
pub const CHARACTER_MISSING: Code = Code::new("character-missing");

/// Most characters told of in one file.
const MOST_TOLD: usize = 100;

/// Warns of each character of a text that no face has, at the first place it is written. Comments are
/// not printed and may hold anything.
pub fn warn(source: &Source, fonts: &TextFonts, diagnostics: &mut Diagnostics) {
    let text = source.text();
    if text.is_ascii() {
        return;
    }
    let mut told: Vec<char> = Vec::new();
    let mut start = 0;
    for line in text.split_inclusive('\n') {
        for (at, c) in printed(line).char_indices() {
            if c.is_ascii() || told.contains(&c) || !fonts.lacks(c) {
                continue;
            }
            if told.len() == MOST_TOLD {
                return;
            }
            told.push(c);
            let span = Span::new(start + at, start + at + c.len_utf8());
            let faces = fonts.names().join(", ");
            diagnostics
                .warning(
                    span,
                    format!(
                        "no font has the character {c} (U+{:04X}); it prints as an empty box",
                        u32::from(c)
                    ),
                )
                .code(CHARACTER_MISSING)
                .mend(format!(
                    "name a font file that has it with `text-font:` in the header; \
                     looked for in {faces}"
                ));
        }
        start += line.len();
    }
}

/// A line without its comment, which starts at its head or after a space.
fn printed(line: &str) -> &str {
    let comment = line.match_indices("//").map(|(at, _)| at).find(|at| {
        line.get(..*at).is_some_and(|before| before.is_empty() || before.ends_with([' ', '\t']))
    });
    comment.and_then(|at| line.get(..at)).unwrap_or(line)
}
