//! Lines of tokens that know their columns.

use crate::source::{Source, Span};

/// The text of a block, in which places count from its start.
#[derive(Clone, Copy)]
pub struct BlockText<'a> {
    /// The source it stands in.
    pub source: &'a Source,
    /// The byte it starts at.
    pub at: usize,
}

impl<'a> BlockText<'a> {
    /// The text of a place in the block.
    pub fn slice(self, span: Span) -> &'a str {
        self.source.slice(span.moved(self.at))
    }
}

/// One row of tokens.
pub struct ColumnLine {
    /// In order.
    pub tokens: Vec<ColumnToken>,
    /// Whether it takes its columns from the other rows and sets none itself.
    pub follows: bool,
}

/// A place shared by the rows of a set, in reading order: its bar, then the sign that opens the
/// row, the groups of the bar, and the signs that close it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Key {
    bar: usize,
    stage: Stage,
    at: u64,
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
enum Stage {
    #[default]
    Opening,
    Groups,
    Closing,
}

impl Key {
    /// The place of the next group, which takes `step`.
    pub fn group(&mut self, step: u64) -> Self {
        match self.stage {
            Stage::Groups => {}
            Stage::Opening => *self = Self { stage: Stage::Groups, at: 0, ..*self },
            Stage::Closing => *self = Self { bar: self.bar + 1, stage: Stage::Groups, at: 0 },
        }
        let here = *self;
        self.at = self.at.saturating_add(step.max(1));
        here
    }

    /// The place of the next group, not before the number `at` of its bar, which takes `step`.
    pub fn group_from(&mut self, at: u64, step: u64) -> Self {
        let mut here = self.group(0);
        if here.at < at {
            here.at = at;
        }
        self.at = here.at.saturating_add(step.max(1));
        here
    }

    /// The place of the next bar sign.
    pub fn sign(&mut self) -> Self {
        if self.stage == Stage::Groups {
            *self = Self { stage: Stage::Closing, at: 0, ..*self };
        }
        let here = *self;
        self.at += 1;
        here
    }
}

/// A piece of a row that stands in a column.
#[derive(Debug)]
pub struct ColumnToken {
    /// Its column.
    pub key: Key,
    /// What is written.
    pub text: String,
    /// Characters before the one that stands on the column.
    pub lead: usize,
    /// White space written before it.
    pub gap: usize,
    /// Its end in the source.
    pub end: usize,
}

impl ColumnToken {
    /// How many characters it takes.
    pub fn width(&self) -> usize {
        self.text.chars().count()
    }
}
