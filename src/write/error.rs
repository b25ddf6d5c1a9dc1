//! Why a file could not be made.

use crate::font::FontError;

/// What could not be written, in a sentence for a person.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WriteError(pub String);

impl std::fmt::Display for WriteError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for WriteError {}

impl From<FontError> for WriteError {
    fn from(FontError(why): FontError) -> Self {
        Self(why)
    }
}
