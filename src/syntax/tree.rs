//! The tree of a file as written: nothing is interpreted yet beyond the shape of the text.

pub use super::grace::WrittenGrace;
use crate::rope::Rope;
use crate::score::kit::Limb;
use crate::score::{Accent, BlockWord, Hand, HitsRow, Inline, Placed, ProseBlock, Touch, WordsRow};
use crate::source::{Span, Spanned};
use smallvec::SmallVec;
use std::sync::Arc;

pub use super::signs::{AcrossPart, BarSign, SameBar, Spread};

/// A word or phrase as written.
pub type Word = Spanned<String>;

/// One file.
#[derive(Clone, Debug, Default)]
pub struct Document {
    /// `key: value` lines before the first blank line.
    pub header: Arc<[Setting]>,
    /// The body in order.
    pub items: Rope<Item>,
}

/// `key: value`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Setting {
    /// The word before the colon.
    pub key: Word,
    /// What follows it, trimmed.
    pub value: Word,
}

/// A piece of the body.
#[derive(Clone, Debug)]
pub enum Item {
    /// A part, or `#` or `##` and a line of words.
    Heading(Heading),
    /// A block of prose.
    Prose(Placed<ProseBlock>),
    /// A block word and its rows.
    Block(Placed<Block>),
    /// Another file is to stand here. None is left once the files are joined.
    Include(Word),
    /// An included file begins, with its header.
    FileStart(FileStart),
    /// The included file that began last ends.
    FileEnd,
}

impl Item {
    /// The same with its places moved; those in prose and in blocks count from where these start.
    pub fn moved(&self, to: impl Fn(usize) -> usize + Copy) -> Self {
        let range = |span: Span| Span::new(to(span.start()), to(span.end()));
        match self {
            Self::Heading(heading) => {
                let word = |name: &Word| Word::new(name.value.clone(), range(name.span));
                let name = heading.name.as_ref().map(word);
                let (span, end) = (range(heading.span), to(heading.end));
                Self::Heading(Heading { name, end, span, ..heading.clone() })
            }
            Self::Prose(prose) => Self::Prose(Placed { at: to(prose.at), ..prose.clone() }),
            Self::Block(block) => Self::Block(Placed { at: to(block.at), ..block.clone() }),
            Self::Include(name) => Self::Include(Word::new(name.value.clone(), range(name.span))),
            Self::FileStart(start) => Self::FileStart(FileStart {
                header: start.header.iter().map(|line| line.moved(to)).collect(),
                span: range(start.span),
            }),
            Self::FileEnd => Self::FileEnd,
        }
    }
}

impl Setting {
    /// The same with its places moved.
    pub fn moved(&self, to: impl Fn(usize) -> usize) -> Self {
        let word = |word: &Word| {
            Word::new(word.value.clone(), Span::new(to(word.span.start()), to(word.span.end())))
        };
        Self { key: word(&self.key), value: word(&self.value) }
    }
}

/// The start of an included file.
#[derive(Clone, Debug)]
pub struct FileStart {
    /// Its `key: value` lines before the first blank line.
    pub header: Arc<[Setting]>,
    /// The name of the file where it was included.
    pub span: Span,
}

/// A heading.
#[derive(Clone, Debug)]
pub struct Heading {
    /// 0 for a part, 1 for `#`, 2 for `##`.
    pub level: u8,
    /// Its words.
    pub text: Arc<[Inline]>,
    /// The name by which prose refers to it.
    pub name: Option<Word>,
    /// The byte after its words, where a name may follow.
    pub end: usize,
    /// The whole line.
    pub span: Span,
}

/// A block with its rows.
#[derive(Clone, Debug)]
pub struct Block {
    /// Its block word.
    pub word: Spanned<BlockWord>,
    /// The name other blocks know it by.
    pub name: Option<Word>,
    /// The block it is made from (`of NAME`), where it is a variation or a series.
    pub parent: Option<Word>,
    /// The title printed over it, without its quotes.
    pub title: Option<Word>,
    /// Sets of rows; one more for each line of `--`. Where it has players, what stands before the first of
    /// them in each set, which holds for all.
    pub sets: Vec<RowSet>,
    /// Its players, where it names any, in the order in which they come in.
    pub players: Vec<PlayerRows>,
    /// The head line. As all places in a block it counts from the block's first byte.
    pub span: Span,
}

impl Block {
    /// From its head to the end of its last line.
    pub fn whole(&self) -> Span {
        let ends = self.all_sets().flat_map(|set| {
            let settings = set.settings.iter().map(|setting| setting.value.span);
            settings.chain(set.rows.iter().map(|row| row.span))
        });
        ends.fold(self.span, Span::join)
    }

    /// The keys among its rows, those of players too.
    pub fn settings(&self) -> impl Iterator<Item = &Setting> {
        self.all_sets().flat_map(|set| &set.settings)
    }

    /// Its rows, those of players too.
    pub fn rows(&self) -> impl Iterator<Item = &Row> {
        self.all_sets().flat_map(|set| &set.rows)
    }

    /// Its sets, and then those of each player.
    fn all_sets(&self) -> impl Iterator<Item = &RowSet> {
        self.sets.iter().chain(self.players.iter().flat_map(|player| &player.sets))
    }
}

/// What one player of a block plays.
#[derive(Clone, Debug)]
pub struct PlayerRows {
    /// The name, without its quotes.
    pub name: Word,
    /// As many sets as the block has; one without rows where the player is silent.
    pub sets: Vec<RowSet>,
}

/// Rows that sound together, and the keys that stand among them.
#[derive(Clone, Debug, Default)]
pub struct RowSet {
    /// `key: value` lines.
    pub settings: Vec<Setting>,
    /// Rows in order.
    pub rows: Vec<Row>,
}

/// One row.
#[derive(Clone, Debug)]
pub struct Row {
    /// Its first word as written; which row it is, the content says.
    pub name: Word,
    /// The rest.
    pub content: Content,
    /// Whether faults were found in it, so that the number of its cells or words is not to be
    /// trusted.
    pub damaged: bool,
    /// The line from the name to the end of the content.
    pub span: Span,
}

/// Which row it is, and what it holds.
#[derive(Clone, Debug)]
pub enum Content {
    /// `count`.
    Count(Vec<Entry<CountGroup>>),
    /// `play`, `hands`, `feet` and instrument rows.
    Cells(HitsRow, Vec<Entry<CellGroup>>),
    /// `stick` and `pedal`.
    Sticks(Limb, Vec<Entry<StickGroup>>),
    /// `dyn`, `say` and `mark`.
    Words(WordsRow, Vec<Entry<WordGroup>>),
    /// A row of a `kit` block: the row's name is the letter.
    KitLetter(KitLetter),
    /// A row of a `syllables` block: the row's name is the number of parts.
    Syllables(Vec<Word>),
}

/// A group, or one of the signs that stand between groups.
#[derive(Clone, Debug)]
pub enum Entry<T> {
    /// A group between spaces.
    Group(T),
    /// A barline.
    Bar(Spanned<BarSign>),
    /// `%`: the bar before again; `%2` and `%4`: as many bars before again.
    SameBar(SameBar),
}

/// Cells that share a beat.
#[derive(Clone, Debug)]
pub struct CellGroup {
    /// The cells, in order.
    pub cells: Vec<Cell>,
    /// The written spread.
    pub spread: Option<Spanned<Spread>>,
    /// It is a part of a group over a barline, which takes so many beats of both bars.
    pub across: Option<AcrossPart>,
    /// The whole group.
    pub span: Span,
}

/// One cell.
#[derive(Clone, Debug)]
pub struct Cell {
    /// What it holds.
    pub kind: CellKind,
    /// The cell with all its signs.
    pub span: Span,
}

/// What a cell can hold.
#[derive(Clone, Debug)]
pub enum CellKind {
    /// `.`
    Silence,
    /// `-`
    Hold,
    /// `_`
    TiedHold,
    /// `/`, alone in its group.
    Slash,
    /// A hit.
    Hit(Hit),
    /// `[...]`
    Split(Vec<Cell>),
}

/// A hit of one or more instruments.
#[derive(Clone, Debug)]
pub struct Hit {
    /// What is struck, in the order written; mostly one, which is held without a list of its own.
    pub strikes: SmallVec<[Strike; 1]>,
    /// Grace notes before it.
    pub grace: WrittenGrace,
    /// Strokes through the stem, 0 to 3.
    pub strokes: u8,
    /// Buzzed.
    pub buzz: bool,
    /// Choked.
    pub choked: bool,
    /// How it is played beyond that.
    pub touch: Touch,
}

/// One instrument of a hit.
#[derive(Clone, Debug)]
pub struct Strike {
    /// The letter in lower case. In an instrument row `x`, `o`, `h` or `g`.
    pub letter: char,
    /// Its accent.
    pub accent: Accent,
    /// In brackets.
    pub ghost: bool,
    /// The letter with its signs.
    pub span: Span,
}

/// A syllable, or bracketed syllables that share a beat.
#[derive(Clone, Debug)]
pub enum CountGroup {
    /// One word.
    Word(Word),
    /// `(...)`; a word `.` is a silent part.
    Division {
        /// The words, in order.
        words: Vec<Word>,
        /// With its brackets.
        span: Span,
    },
}

/// Letters between spaces in a `stick` or `pedal` row.
#[derive(Clone, Debug)]
pub struct StickGroup {
    /// In order.
    pub cells: Vec<StickCell>,
    /// The whole group.
    pub span: Span,
}

/// One cell of a sticking.
#[derive(Clone, Debug)]
pub struct StickCell {
    /// What it holds.
    pub kind: StickKind,
    /// The letter with its grace letters and accent.
    pub span: Span,
}

/// What a sticking cell can hold.
#[derive(Clone, Debug)]
pub enum StickKind {
    /// `.`
    Silence,
    /// `-`
    NoLetter,
    /// A capital with what stands before it.
    Letter {
        /// The hand of the hit.
        hand: Hand,
        /// Lower-case letters before it, at most three.
        grace: Vec<Hand>,
        /// `>` or `^` before it.
        accent: Accent,
        /// In brackets after it: the hand that may play it as well.
        other: Option<Hand>,
    },
    /// `[...]`
    Split(Vec<StickCell>),
}

/// What takes one place of a `dyn`, `say` or `mark` row.
#[derive(Clone, Debug)]
pub struct WordGroup {
    /// What stands there.
    pub cell: WordCell,
    /// The written spread.
    pub spread: Option<Spanned<Spread>>,
    /// The whole group.
    pub span: Span,
}

/// What one cell of a row of words holds.
#[derive(Clone, Debug)]
pub enum WordCell {
    /// A word or a quoted phrase, or several joined by `+`, without their quotes; at least one.
    Words(Vec<QuotableWord>),
    /// `[...]`: cells that share the place equally.
    Split(Vec<WordCell>),
}

/// A word that may have been quoted.
#[derive(Clone, Debug)]
pub struct QuotableWord {
    /// Without quotes.
    pub word: Word,
    /// Whether it stood in quotes.
    pub quoted: bool,
}

/// What a row of a `kit` block says of its letter.
#[derive(Clone, Debug)]
pub struct KitLetter {
    /// The instrument's name, which is also its row name.
    pub name: Word,
    /// The rest, split at commas and trimmed.
    pub attributes: Vec<Word>,
}
