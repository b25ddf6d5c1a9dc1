//! A file cut where something begins: each stretch is read without those before it, and of those after it
//! counts no more than the first line with a body.

use super::sets::Sets;
use crate::score::{BlockWord, Placed};
use crate::source::{Diagnostics, Span};
use crate::syntax::lines::Line;
use crate::syntax::prose;
use crate::syntax::prose::ProseText;
use crate::syntax::rows::Rows;
use crate::syntax::tree::{Block, Item, Setting};
use crate::syntax::{rows, spaces};

/// A stretch of lines from what it begins with to what begins next; in it, one thing.
#[derive(Debug)]
pub struct OutlinedStretch<'a> {
    /// Its first byte.
    pub start: usize,
    /// Names of instruments its kit has.
    pub instruments: Vec<String>,
    header: Vec<Setting>,
    thing: Thing<'a>,
    /// All its faults but those of rows.
    found: Diagnostics,
}

/// What a stretch holds.
#[derive(Debug)]
pub(super) enum Thing<'a> {
    Nothing,
    Item(Item),
    /// A stretch of prose.
    Prose(ProseLines),
    /// A block without its sets, and its lines.
    Block(Box<BlockLines<'a>>),
}

/// A block whose rows are not read yet.
#[derive(Debug)]
pub(super) struct BlockLines<'a> {
    pub(super) block: Block,
    /// The byte it starts at, from which the places in it count.
    pub(super) at: usize,
    pub(super) lines: &'a [Line<'a>],
    /// What was found in its head.
    pub(super) found: Diagnostics,
}

/// A stretch of prose that is not read yet.
#[derive(Debug, Default)]
pub(super) struct ProseLines {
    pub(super) text: ProseText,
    /// Lines of code, which are as they are to the last blank.
    pub(super) code: Vec<Span>,
}

/// A stretch of a file, read. Its places count from its first byte.
#[derive(Clone, Debug, Default)]
pub struct Stretch {
    /// How long it is, with all line ends.
    pub bytes: usize,
    /// Names of instruments its kit has, so that a row called after one is not taken for a misspelt word.
    pub instruments: Vec<String>,
    /// The header, in the first.
    pub header: Vec<Setting>,
    /// What it holds: one thing, or prose.
    pub items: Vec<Item>,
    /// All its faults.
    pub found: Diagnostics,
}

impl<'a> OutlinedStretch<'a> {
    /// What the lines from a byte on hold; `found` are its faults, but for those of the lines themselves.
    pub(super) fn new(
        (start, lines): (usize, &[Line<'a>]),
        (header, thing): (Vec<Setting>, Thing<'a>),
        found: Diagnostics,
    ) -> Self {
        let mut all = Diagnostics::default();
        lines.iter().for_each(|line| line.report(&mut all));
        report_spaces(lines, &header, &thing, &mut all);
        all.absorb(found, 0);
        let instruments = match &thing {
            Thing::Block(own) if own.block.word.value == BlockWord::Kit => kit_names(own.lines),
            Thing::Nothing | Thing::Item(_) | Thing::Prose(_) | Thing::Block(_) => Vec::new(),
        };
        Self { start, instruments, header, thing, found: all }
    }

    /// Whether it is prose, and which of its lines are code.
    pub fn code(&self) -> Option<&[Span]> {
        match &self.thing {
            Thing::Prose(lines) => Some(&lines.code),
            Thing::Nothing | Thing::Item(_) | Thing::Block(_) => None,
        }
    }

    /// Reads the rows of a block or the prose, in a file with these instruments. The next stretch starts at `end`.
    pub fn read(self, rows: &Rows, end: usize) -> Stretch {
        let start = self.start;
        let mut found = self.found;
        let items = match self.thing {
            Thing::Nothing => Vec::new(),
            Thing::Item(item) => vec![item],
            Thing::Prose(lines) => prose::read(&lines.text, &mut found),
            Thing::Block(lines) => vec![lines.read(rows, &mut found)],
        };
        let from_start = |byte: usize| byte.saturating_sub(start);
        found.move_places(from_start);
        Stretch {
            bytes: end.saturating_sub(start),
            instruments: self.instruments,
            header: self.header.iter().map(|line| line.moved(from_start)).collect(),
            items: items.iter().map(|item| item.moved(from_start)).collect(),
            found,
        }
    }
}

impl BlockLines<'_> {
    /// The block with its sets, whose places count from its start.
    fn read(mut self, rows: &Rows, found: &mut Diagnostics) -> Item {
        let word = self.block.word.value;
        let mut sets = Sets::new(word);
        for body in self.lines.iter().filter_map(|line| line.body) {
            let body = body.counted_from(self.at);
            sets.take(body, rows::line(body, Some(word)), rows, &mut self.found);
        }
        (self.block.sets, self.block.players) = sets.finish(&mut self.found);
        found.absorb(self.found, self.at);
        Item::Block(Placed::new(self.block, self.at))
    }
}

/// Tells of spaces that are not the plain one, where they matter.
fn report_spaces(
    lines: &[Line<'_>],
    header: &[Setting],
    thing: &Thing<'_>,
    diagnostics: &mut Diagnostics,
) {
    match thing {
        Thing::Block(_) => {
            lines.iter().for_each(|line| spaces::report_in_block(line, diagnostics));
        }
        Thing::Item(_) | Thing::Prose(_) => {}
        Thing::Nothing => {
            let keys = lines.iter().filter(|_| !header.is_empty());
            keys.for_each(|line| spaces::report_indent(line, diagnostics));
        }
    }
}

/// Names of the instruments of a kit.
fn kit_names(lines: &[Line<'_>]) -> Vec<String> {
    let mut names = Vec::new();
    for body in lines.iter().filter_map(|line| line.body) {
        let rows::BlockLine::Row(_, Some(content)) = rows::line(body, Some(BlockWord::Kit)) else {
            continue;
        };
        if let Some(name) = content.text.split([',', ' ', '\t']).next() {
            names.push(name.to_owned());
        }
        let others = content.text.split(',').filter_map(|part| part.trim().strip_prefix("also "));
        names.extend(others.map(|other| other.trim().to_owned()));
    }
    names
}
