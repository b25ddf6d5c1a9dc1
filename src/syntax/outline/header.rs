//! The header of a file.

use super::cursor::Outline;
use crate::source::{Span, say};
use crate::syntax::grammar::{Piece, Rule};
use crate::syntax::lines::Line;
use crate::syntax::{codes, rows};

impl<'a> Outline<'a> {
    /// Reads the header, if there is one.
    pub(super) fn header(&mut self) {
        let Some(first) = self.lines.iter().position(|line| line.body.is_some()) else { return };
        if self.header_setting(first).is_none() {
            return;
        }
        let end = first
            + self.lines[first..]
                .iter()
                .position(Line::is_blank)
                .unwrap_or(self.lines.len() - first);
        let last = (first..end).rfind(|at| self.header_setting(*at).is_some()).unwrap_or(first);
        for at in first..end {
            self.at = at;
            let Some(body) = self.lines[at].body else { continue };
            if let Some((key, value)) = self.header_setting(at) {
                self.settings.extend(rows::setting(key, value, &mut self.diagnostics));
            } else if at < last {
                let fault = self
                    .diagnostics
                    .error(body.span(), "this line of the header has no key and colon")
                    .code(codes::HEADER_LINE_UNKNOWN);
                match body.text.split_once([' ', '\t']) {
                    Some((key, value)) if !self.lines[at].indented && is_key(key) => {
                        let value = value.trim_start();
                        let mend = format!("write `{key}: {}`", say::shortened(value));
                        fault.replace(body.span(), format!("{key}: {value}"), mend);
                    }
                    _ => fault.mend("write a key, a colon and its value, as `tempo: 92`"),
                }
            } else {
                let start = self.lines[at].span.start;
                self.diagnostics
                    .error(body.span(), "the header goes on to the first blank line, and this line is no part of it")
                    .code(codes::HEADER_UNENDED)
                    .replace(Span::new(start, start), "\n", "put a blank line before it");
                return;
            }
        }
        self.at = end;
    }

    fn header_setting(&self, at: usize) -> Option<(Piece<'a>, Piece<'a>)> {
        let line = self.lines.get(at).filter(|line| !line.indented)?;
        let body = line.body?;
        let token = body.tokens(Rule::header_line).find(|t| t.as_rule() == Rule::setting)?;
        Some(rows::setting_parts(body, token))
    }
}

/// Whether a word could be a key.
fn is_key(word: &str) -> bool {
    word.starts_with(|c: char| c.is_ascii_alphabetic())
        && word.chars().all(|c| c.is_ascii_alphabetic() || c == '-')
}
