//! How hard a block is.

/// How hard a block is, to who chooses what to play.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Level {
    /// Stars, 1 to [`Level::MOST_STARS`].
    Stars(u8),
    /// Words, as `easy`.
    Words(String),
}

impl Level {
    /// The stars of what is hardest.
    pub const MOST_STARS: u8 = 5;

    /// The level as it is read aloud, in English as all that is.
    pub fn spoken(&self) -> String {
        match self {
            Self::Stars(stars) => format!("Level {stars} of {}", Self::MOST_STARS),
            Self::Words(words) => words.clone(),
        }
    }
}
