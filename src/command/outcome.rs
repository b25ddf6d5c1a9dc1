//! How a command ends.

use std::fmt::Display;

/// How a command that did its work ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// All is well.
    Clean,
    /// The text has faults, which have been shown.
    Faults,
}

/// Why a command could not do its work: wrong usage, or a file that can't be read or written.
#[derive(Debug)]
pub struct Failure(pub String);

impl Failure {
    /// With the message for a person.
    pub fn new(message: impl Display) -> Self {
        Self(message.to_string())
    }
}
