//! Blocks of prose, set one by one: paragraphs, lists, quotes, code, tables and footnotes.

use super::figure;
use super::flat_text::{FlatText, Look};
use super::passage;
use super::passage::{Inside, Passage};
use super::piece::Piece;
use super::prose::ProseLine;
use super::setter::Setter;
use super::table;
use crate::drawing::prose::Role;
use crate::font::FaceStyle;
use crate::score::prose::{List, Note};
use crate::score::{Inline, Placed, ProseBlock};

/// What entries of a list, quotes and code are indented by, in ems (this and what follows: common practice,
/// no source).
const INDENT: f64 = 1.6;
/// The signs of lists with bullets, from the outside.
const BULLETS: [&str; 3] = ["•", "–", "·"];
/// The size of footnotes, as a share of that of prose.
const NOTES_SIZE: f64 = 0.86;
/// The line over footnotes, and the line that stands for a break: their widths in ems.
const NOTES_LINE: f64 = 6.0;
const BREAK_LINE: f64 = 8.0;
/// Columns of a tab in code.
const TAB: usize = 4;

/// The pieces of a block of prose, which is the item of an index.
pub(super) fn set(setter: &Setter<'_>, item: usize, block: &Placed<ProseBlock>) -> Vec<Piece> {
    set_in(setter, item, block, setter.sheet.text_width())
}

/// The same in a width in points.
pub(super) fn set_in(
    setter: &Setter<'_>,
    item: usize,
    block: &Placed<ProseBlock>,
    width: f64,
) -> Vec<Piece> {
    let sheet = setter.sheet;
    let inside = Inside {
        steps: Vec::new(),
        size: sheet.prose,
        left: 0.0,
        width: width.min(sheet.measure),
        before: sheet.between_paragraphs,
        gap: sheet.between_paragraphs,
        lists: 0,
    };
    let mut passage = Passage::new(setter, item, block.at);
    passage.block(block, 0, &inside);
    let mut pieces = passage.pieces;
    // The gap between paragraphs is so small that no part of it can be spared.
    pieces.iter_mut().for_each(|piece| piece.elastic = false);
    pieces
}

impl Passage<'_> {
    fn blocks(&mut self, blocks: &[ProseBlock], inside: &Inside) {
        for (nth, block) in blocks.iter().enumerate() {
            let before = if nth == 0 { inside.before } else { inside.gap };
            self.block(block, nth, &inside.clone().with_before(before));
        }
    }

    /// Blocks nest as deep as the reader allows, and this recurses no deeper.
    fn block(&mut self, block: &ProseBlock, nth: usize, inside: &Inside) {
        match block {
            ProseBlock::Paragraph(text) => {
                self.paragraph(text, &inside.step(Role::Paragraph, nth));
            }
            ProseBlock::List(list) => self.list(list, &inside.step(Role::List, nth)),
            ProseBlock::Quote(blocks) => {
                let indent = INDENT * inside.size;
                self.blocks(blocks, &inside.step(Role::Quote, nth).indented(indent, indent));
            }
            ProseBlock::Break => self.break_line(inside),
            ProseBlock::Code(lines) => {
                let inside = inside.step(Role::Paragraph, nth).step(Role::Code, 0);
                self.code(lines, &inside.clone().indented(INDENT * inside.size, 0.0));
            }
            ProseBlock::Table(own) => table::set(self, own, &inside.step(Role::Table, nth)),
            ProseBlock::Figure(own) => {
                let picture = self.setter.pictures.get(&(self.at + own.span.start()));
                figure::set(self, own, picture, (inside, nth));
            }
            ProseBlock::Notes(notes) => self.notes(notes, inside),
        }
    }

    fn paragraph(&mut self, text: &[Inline], inside: &Inside) {
        let mut flat = FlatText::of(text, FaceStyle::Regular, self.setter.answers);
        flat.hyphens = self.setter.hyphens;
        let lines = self.lines(&flat, inside);
        self.rows(&lines, inside);
    }

    fn list(&mut self, list: &List, inside: &Inside) {
        let indent = INDENT * inside.size;
        let last = list.first.map(|first| first.saturating_add(list.entries.len() as u64));
        // Long numbers push their entries to the right.
        let widest = last.map_or(0.0, |last| {
            let run = self.setter.fonts.text.shape(&format!("{last}."), FaceStyle::Regular);
            (run.width + passage::AFTER_SIGN) * inside.size
        });
        let indent = indent.max(widest);
        let between = if list.loose { inside.gap } else { inside.gap / 2.0 };
        for (nth, entry) in list.entries.iter().enumerate() {
            let sign = match list.first {
                Some(first) => format!("{}.", first.saturating_add(nth as u64)),
                None => BULLETS[inside.lists % BULLETS.len()].to_owned(),
            };
            let at_entry = inside.step(Role::Entry, nth);
            let mut body = at_entry.step(Role::EntryBody, 1).indented(indent, 0.0);
            body.before = if nth == 0 { inside.before } else { between };
            body.gap = between;
            body.lists += 1;
            let label = at_entry.step(Role::Label, 0);
            self.labelled(&sign, &label, &body, |passage| match entry.as_slice() {
                // What is one run of words is said as the entry itself.
                [ProseBlock::Paragraph(text)] => passage.paragraph(text, &body),
                blocks => passage.blocks(blocks, &body),
            });
        }
    }

    fn code(&mut self, code: &[String], inside: &Inside) {
        let mut lines = Vec::new();
        for line in code {
            let mut flat = FlatText::default();
            flat.push(&without_tabs(line), Look::code());
            let set = self.lines(&flat, inside);
            let blank = set.is_empty().then(ProseLine::default);
            lines.extend(set.into_iter().chain(blank));
        }
        self.rows(&lines, inside);
    }

    /// Footnotes under a short line, smaller than the words they belong to.
    fn notes(&mut self, notes: &[Note], inside: &Inside) {
        let mut line = self.line(0.0, NOTES_LINE * inside.size, inside.gap * 1.5);
        line.keep_with_next = true;
        self.pieces.push(line);
        for (nth, note) in notes.iter().enumerate() {
            let mut at_note = inside.step(Role::Note, nth);
            at_note.size *= NOTES_SIZE;
            at_note.before = inside.gap / 2.0;
            at_note.gap = inside.gap / 2.0;
            let label = at_note.step(Role::Label, 0);
            let indent = INDENT * at_note.size;
            let body = at_note.indented(indent, 0.0);
            self.labelled(&note.number.to_string(), &label, &body, |passage| {
                passage.blocks(&note.blocks, &body);
            });
        }
    }

    /// The line that stands for a break between thoughts.
    fn break_line(&mut self, inside: &Inside) {
        let width = (BREAK_LINE * inside.size).min(inside.width);
        let left = inside.left + (inside.width - width) / 2.0;
        let mut line = self.line(left, width, inside.gap * 2.0);
        line.height += inside.gap;
        self.pieces.push(line);
    }
}

/// A line of code with blanks in place of tabs.
fn without_tabs(line: &str) -> String {
    let mut out = String::with_capacity(line.len());
    let mut column = 0;
    for c in line.chars() {
        if c == '\t' {
            let blanks = TAB - column % TAB;
            out.extend(std::iter::repeat_n(' ', blanks));
            column += blanks;
        } else {
            out.push(c);
            column += 1;
        }
    }
    out
}
