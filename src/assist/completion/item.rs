//! A way a word may go on.

use super::super::lines::Written;
use crate::source::Span;

/// How a word may go on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Completion {
    /// What is shown, and by what it is found.
    pub label: String,
    /// What it is.
    pub kind: CompletionKind,
    /// What it means, in a few words.
    pub about: String,
    /// What is replaced.
    pub span: Span,
    /// What stands there afterwards.
    pub text: String,
}

/// What a completion is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CompletionKind {
    /// The word of a block or a row, or a line.
    Word,
    /// A key.
    Key,
    /// The value of a key.
    Value,
    /// The name of a block.
    Name,
    /// A letter of the kit, of a sticking, or a sign.
    Letter,
}

/// A completion of the word that is being typed.
pub(super) fn completion(
    written: &Written<'_>,
    kind: CompletionKind,
    label: &str,
    about: String,
) -> Completion {
    let span = written.word_span();
    Completion { label: label.to_owned(), kind, about, span, text: label.to_owned() }
}
