//! Grace notes as they are written.

use crate::source::Spanned;

/// Grace notes as they are written, at most three.
#[derive(Clone, Debug)]
pub enum WrittenGrace {
    /// So many ticks; none where it has none.
    Ticks(u8),
    /// Letters in braces, in lower case, each with its place.
    Letters(Vec<Spanned<char>>),
}

impl WrittenGrace {
    /// How many there are.
    pub fn count(&self) -> usize {
        match self {
            Self::Ticks(count) => usize::from(*count),
            Self::Letters(letters) => letters.len(),
        }
    }
}
