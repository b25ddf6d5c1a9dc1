//! Spaces that look like the plain one and are another.

use super::codes;
use super::lines::{Line, is_odd};
use crate::source::{Diagnostics, Span};

/// Tells of those that indent a line which is to stand at the left edge.
pub fn report_indent(line: &Line<'_>, diagnostics: &mut Diagnostics) {
    let indent = line.text().len() - line.text().trim_start().len();
    if line.oddly && line.body.is_some() {
        let span = Span::new(line.span.start(), line.span.start() + indent);
        diagnostics
            .error(span, "a space that is not the plain one stands before this line")
            .code(codes::SPACE_ODD)
            .replace(span, "", "delete it: the lines of a header begin at the left edge");
    }
}

/// Tells of those in a line of a block; what stands in quotes or in a comment may have any.
pub fn report_in_block(line: &Line<'_>, diagnostics: &mut Diagnostics) {
    let end = line.comment.map_or(line.span.end(), |comment| comment.start());
    report(line, end - line.span.start(), diagnostics);
}

/// Tells of each run of them in the first bytes of a line.
fn report(line: &Line<'_>, bytes: usize, diagnostics: &mut Diagnostics) {
    let text = line.text().get(..bytes).unwrap_or("");
    let indent = text.len() - text.trim_start().len();
    let mut quoted = false;
    let mut run: Option<(usize, char, usize)> = None;
    for (at, c) in text.char_indices().chain([(text.len(), '.')]) {
        if is_odd(c) && !quoted {
            let (_, _, count) = run.get_or_insert((at, c, 0));
            *count += 1;
            continue;
        }
        if let Some((from, first, count)) = run.take() {
            let span = Span::new(line.span.start() + from, line.span.start() + at);
            let what = format!("{} ({})", name(first, count), code(first));
            let message = if from < indent {
                format!("this line is indented by {what}")
            } else if count == 1 {
                format!("this is {what}")
            } else {
                format!("these are {what}")
            };
            diagnostics.error(span, message).code(codes::SPACE_ODD).replace(
                span,
                " ".repeat(count),
                if count == 1 { "type an ordinary space" } else { "type ordinary spaces" },
            );
        }
        quoted ^= matches!(c, '"' | '“' | '”' | '„');
    }
}

/// So many spaces of a kind, in words.
fn name(space: char, count: usize) -> String {
    let kind = match space {
        '\u{a0}' => "no-break",
        '\u{2002}' => "en",
        '\u{2003}' => "em",
        '\u{2007}' => "figure",
        '\u{2009}' => "thin",
        '\u{200a}' => "hair",
        '\u{202f}' => "narrow no-break",
        '\u{3000}' => "ideographic",
        _ => "odd",
    };
    match count {
        1 if kind.starts_with(['e', 'i', 'o']) => format!("an {kind} space"),
        1 => format!("a {kind} space"),
        _ => format!("{kind} spaces"),
    }
}

/// The code point, as `U+00A0`.
fn code(space: char) -> String {
    format!("U+{:04X}", u32::from(space))
}
