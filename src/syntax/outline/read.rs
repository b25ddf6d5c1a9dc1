//! The lines of a file, one after another.

use super::cursor::Outline;
use crate::source::Diagnostics;
use crate::syntax::flush::{Flush, classify};
use crate::syntax::grammar::Piece;
use crate::syntax::lines::Line;
use crate::syntax::tree::{Document, Heading, Item, Word};
use crate::syntax::{codes, prose};

/// Builds the tree of a file from its lines.
pub fn read<'a>(lines: &'a [Line<'a>], diagnostics: &mut Diagnostics) -> Document {
    let mut outline = Outline::new(lines, diagnostics);
    outline.header();
    while let Some(line) = outline.line() {
        match (line.body, line.indented) {
            (None, _) => outline.at += 1,
            (Some(_), true) => outline.stray_rows(),
            (Some(body), false) => outline.flush(body),
        }
    }
    outline.finish()
}

impl<'a> Outline<'a, '_> {
    fn flush(&mut self, body: Piece<'a>) {
        match classify(body) {
            Flush::Heading(hashes, words) => self.heading(body, hashes, words),
            Flush::Entry { numbered, .. } => self.list(numbered),
            Flush::Part(words) => {
                let text = prose::read(words.text.trim());
                self.document.items.push(Item::Heading(Heading {
                    level: 0,
                    text,
                    span: body.span(),
                }));
                self.at += 1;
            }
            Flush::Include(name) => {
                let name = Word::new(name.text.to_owned(), name.span());
                self.document.items.push(Item::Include(name));
                self.at += 1;
            }
            Flush::Break => {
                self.diagnostics
                    .error(body.span(), "`--` goes on with a block, and there is no block above it")
                    .code(codes::BREAK_STRAY)
                    .replace(body.span(), "", "take the line out");
                self.at += 1;
            }
            Flush::Words => match self.opening(self.at, body) {
                Some(opening) => self.block(opening),
                None => self.paragraph(),
            },
        }
    }
}
