//! Edits that can't be made, and work that nobody waits for.

/// Why an edit was not made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EditError {
    /// There is no file of this name.
    NoFile,
    /// The range does not lie in the file, or an end of it lies inside a character.
    NoRange,
}

impl std::fmt::Display for EditError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::NoFile => "there is no file of this name",
            Self::NoRange => "the range does not lie in the text",
        })
    }
}

impl std::error::Error for EditError {}

/// The work was stopped, as it was asked to. What was made of the text before stays.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Superseded;
