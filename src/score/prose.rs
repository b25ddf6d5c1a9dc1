//! Prose as its blocks (CommonMark, "Blocks and inlines").

use super::{Inline, Reference, Span};

/// A block of prose. Places in it count from where it starts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ProseBlock {
    /// A paragraph.
    Paragraph(Vec<Inline>),
    /// A list.
    List(List),
    /// A block quote.
    Quote(Vec<ProseBlock>),
    /// A thematic break.
    Break,
    /// Code, line by line, as it is written.
    Code(Vec<String>),
    /// A table.
    Table(Table),
    /// A picture.
    Figure(Figure),
    /// The footnotes of a stretch of prose, in the order they are first referred to.
    Notes(Vec<Note>),
}

/// A list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct List {
    /// The number of its first entry; nothing where it has bullets.
    pub first: Option<u64>,
    /// Its entries are paragraphs, with room between them.
    pub loose: bool,
    /// Its entries.
    pub entries: Vec<Vec<ProseBlock>>,
}

/// A table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Table {
    /// How each column is set; at least one.
    pub columns: Vec<Alignment>,
    /// The cells of its head.
    pub head: Vec<Vec<Inline>>,
    /// The cells of its rows, as many as there are columns.
    pub rows: Vec<Vec<Vec<Inline>>>,
}

/// How the words of a column are set.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Alignment {
    /// From the left.
    #[default]
    Left,
    /// In the middle.
    Center,
    /// To the right.
    Right,
}

/// A picture.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Figure {
    /// Its file, as it is written.
    pub file: String,
    /// What it shows, for a reader who cannot see it.
    pub said: String,
    /// The words under it; empty where there are none.
    pub caption: String,
    /// Where it is written.
    pub span: Span,
}

/// A footnote.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Note {
    /// Its number in its stretch of prose, from 1.
    pub number: u32,
    /// What it says.
    pub blocks: Vec<ProseBlock>,
}

impl ProseBlock {
    /// The blocks it holds.
    fn inner(&self) -> Box<dyn Iterator<Item = &Self> + '_> {
        match self {
            Self::List(list) => Box::new(list.entries.iter().flatten()),
            Self::Quote(blocks) => Box::new(blocks.iter()),
            Self::Notes(notes) => Box::new(notes.iter().flat_map(|note| &note.blocks)),
            Self::Paragraph(_) | Self::Break | Self::Code(_) | Self::Table(_) | Self::Figure(_) => {
                Box::new(std::iter::empty())
            }
        }
    }

    /// Calls `see` with the words of every paragraph and cell, in reading order. The reader
    /// bounds how deep blocks nest, and with it how deep this recurses.
    pub fn for_each_text<'a>(&'a self, see: &mut dyn FnMut(&'a [Inline])) {
        match self {
            Self::Paragraph(text) => see(text),
            Self::Table(table) => {
                let rows = table.rows.iter().flatten();
                table.head.iter().chain(rows).for_each(|cell| see(cell));
            }
            Self::List(_)
            | Self::Quote(_)
            | Self::Notes(_)
            | Self::Break
            | Self::Code(_)
            | Self::Figure(_) => self.inner().for_each(|block| block.for_each_text(see)),
        }
    }

    /// Calls `see` with every picture, in reading order.
    pub fn for_each_figure<'a>(&'a self, see: &mut dyn FnMut(&'a Figure)) {
        match self {
            Self::Figure(figure) => see(figure),
            Self::List(_) | Self::Quote(_) | Self::Notes(_) => {
                self.inner().for_each(|block| block.for_each_figure(see));
            }
            // Most are paragraphs, and are not looked into.
            Self::Paragraph(_) | Self::Break | Self::Code(_) | Self::Table(_) => {}
        }
    }

    /// Whether its words lead to what follows: they end with a colon.
    pub fn leads_on(&self) -> bool {
        let mut last = None;
        self.for_each_text(&mut |text| last = last_character(text));
        last == Some(':')
    }

    /// The references to blocks of music in its words, in reading order.
    pub fn references(&self) -> Vec<&Reference> {
        let mut found = Vec::new();
        self.for_each_text(&mut |text| add_references(text, &mut found));
        found
    }
}

/// Adds the references of a text, whose emphasis is of bounded depth.
fn add_references<'a>(text: &'a [Inline], found: &mut Vec<&'a Reference>) {
    for inline in text {
        match inline {
            Inline::Text(_)
            | Inline::Code(_)
            | Inline::Break
            | Inline::Address(_)
            | Inline::Note(_) => {}
            Inline::Reference(reference) => found.push(reference),
            Inline::Emphasis(inner) | Inline::Strong(inner) | Inline::Link { words: inner, .. } => {
                add_references(inner, found);
            }
        }
    }
}

/// The last character of words that is no white space. The reader bounds how deep looks nest.
fn last_character(text: &[Inline]) -> Option<char> {
    text.iter().rev().find_map(|inline| match inline {
        Inline::Text(words) | Inline::Address(words) | Inline::Code(words) => {
            words.trim_end().chars().next_back()
        }
        Inline::Emphasis(inner) | Inline::Strong(inner) | Inline::Link { words: inner, .. } => {
            last_character(inner)
        }
        Inline::Break | Inline::Note(_) => None,
        Inline::Reference(reference) => reference.name.chars().next_back(),
    })
}
