//! Why there is no film.

use std::fmt;

/// Why a film can't be made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum FilmError {
    /// Nothing is played.
    Nothing,
    /// The table of its style can't be read.
    Style(String),
}

impl fmt::Display for FilmError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Nothing => f.write_str("there is no block to show"),
            Self::Style(why) => f.write_str(why),
        }
    }
}

impl std::error::Error for FilmError {}
