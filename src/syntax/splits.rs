//! Brackets that split a cell, paired without recursion and bounded in depth.

use super::codes;
use super::limits::{SPLIT_CELLS, SPLIT_DEPTH};
use super::row::Reader;
use crate::source::Span;

/// What brackets split, for what a fault of them says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SplitOf {
    /// A cell of a row of hits or letters. It holds no spaces.
    Cells,
    /// The place of a word. Words stand apart in it.
    Words,
}

impl SplitOf {
    fn too_many(self) -> &'static str {
        match self {
            Self::Cells => "put a space where the next beat begins",
            Self::Words => "close the bracket where the beat ends",
        }
    }

    fn too_deep(self) -> &'static str {
        match self {
            Self::Cells => "write these notes as a group of their own",
            Self::Words => "write these words as a group of their own",
        }
    }

    fn unopened(self) -> (&'static str, &'static str) {
        match self {
            Self::Cells => (
                "this `]` has no `[` before it in its group",
                "a split holds no spaces: write `[ss]`",
            ),
            Self::Words => (
                "this `]` has no `[` before it in its bar",
                "write the words that share a place as `[. p]`",
            ),
        }
    }

    fn empty(self) -> &'static str {
        match self {
            Self::Cells => "write its hits, as `[ss]`",
            Self::Words => "write its words, as `[. p]`",
        }
    }

    fn unclosed(self) -> (&'static str, &'static str) {
        match self {
            Self::Cells => (
                "this `[` is not closed in its group",
                "a split holds no spaces and ends with `]`, as `[ss]`",
            ),
            Self::Words => (
                "this `[` is not closed in its bar",
                "write `]` after the last word that shares the place, as `[. p]`",
            ),
        }
    }
}

/// The cells of one group while it is read.
pub struct Splits<T> {
    of: SplitOf,
    /// Cells a group may hold.
    limit: usize,
    /// The group itself, then the splits that are open.
    levels: Vec<SplitLevel<T>>,
    /// Brackets opened deeper than is allowed.
    too_deep: usize,
    reported_depth: bool,
}

struct SplitLevel<T> {
    open: Span,
    cells: Vec<T>,
    reported: bool,
}

impl<T> SplitLevel<T> {
    fn new(open: Span) -> Self {
        Self { open, cells: Vec::new(), reported: false }
    }
}

impl<T> Splits<T> {
    /// A group of at most `limit` cells.
    pub fn new(of: SplitOf, limit: usize) -> Self {
        Self {
            of,
            limit,
            levels: vec![SplitLevel::new(Span::default())],
            too_deep: 0,
            reported_depth: false,
        }
    }

    /// Whether no bracket is open.
    pub fn is_flat(&self) -> bool {
        self.levels.len() == 1 && self.too_deep == 0
    }

    /// Takes a cell.
    pub fn push(&mut self, reader: &mut Reader<'_>, cell: T, span: Span) {
        let limit = if self.levels.len() == 1 { self.limit } else { SPLIT_CELLS };
        let Some(level) = self.levels.last_mut() else { return };
        if level.cells.len() < limit {
            level.cells.push(cell);
        } else if !level.reported {
            level.reported = true;
            let what = if self.levels.len() == 1 { "a group" } else { "a split" };
            reader
                .fault(codes::CELLS_TOO_MANY, span, format!("{what} holds at most {limit} cells"))
                .mend(self.of.too_many());
        }
    }

    /// Takes `[`.
    pub fn open(&mut self, reader: &mut Reader<'_>, span: Span) {
        if self.levels.len() <= SPLIT_DEPTH {
            self.levels.push(SplitLevel::new(span));
            return;
        }
        self.too_deep += 1;
        if !self.reported_depth {
            self.reported_depth = true;
            reader
                .fault(codes::SPLIT_TOO_DEEP, span, "splits go at most three deep")
                .mend(self.of.too_deep());
        }
    }

    /// Takes `]`; `split` makes a cell of what stood in the brackets.
    pub fn close(
        &mut self,
        reader: &mut Reader<'_>,
        span: Span,
        split: impl Fn(Vec<T>, Span) -> T,
    ) {
        if self.too_deep > 0 {
            self.too_deep -= 1;
            return;
        }
        if self.is_flat() && reader.open_splits > 0 {
            reader.open_splits -= 1;
            return;
        }
        if self.is_flat() {
            let (message, mend) = self.of.unopened();
            reader.fault(codes::SPLIT_UNOPENED, span, message).mend(mend);
            return;
        }
        let Some(level) = self.levels.pop() else { return };
        let whole = level.open.join(span);
        if level.cells.is_empty() {
            reader.fault(codes::SPLIT_EMPTY, whole, "this split is empty").mend(self.of.empty());
            return;
        }
        self.push(reader, split(level.cells, whole), whole);
    }

    /// The cells of the group. Brackets still open are one fault.
    pub fn finish(mut self, reader: &mut Reader<'_>, split: impl Fn(Vec<T>, Span) -> T) -> Vec<T> {
        if let Some(level) = self.levels.get(1) {
            reader.open_splits += self.levels.len() - 1 + self.too_deep;
            let (message, mend) = self.of.unclosed();
            reader.fault(codes::SPLIT_UNCLOSED, level.open, message).mend(mend);
        }
        while self.levels.len() > 1 {
            let Some(level) = self.levels.pop() else { break };
            if !level.cells.is_empty() {
                let span = level.open;
                self.push(reader, split(level.cells, span), span);
            }
        }
        let mut cells = self.levels.pop().map(|level| level.cells).unwrap_or_default();
        // A book has hundreds of thousands of them until they are read.
        cells.shrink_to_fit();
        cells
    }
}
