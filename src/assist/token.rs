//! A word or sign, for highlighting.

use crate::source::Span;

/// A word or sign on one line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Token {
    /// Where it stands.
    pub span: Span,
    /// What it is.
    pub kind: TokenKind,
}

/// What a word or sign is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum TokenKind {
    /// The word a block begins with, and `player`.
    BlockWord,
    /// A name where it is given.
    NameGiven,
    /// A name where it is used.
    NameUsed,
    /// A title, a player's name or words in quotes.
    Words,
    /// A key.
    Key,
    /// The value of a key.
    Value,
    /// The word a row begins with.
    RowWord,
    /// A hit, a letter of a kit or of a sticking.
    Letter,
    /// An accented one.
    AccentedLetter,
    /// A ghosted one.
    GhostedLetter,
    /// A silence.
    Rest,
    /// What holds a hit, and a beat of time that is kept.
    Hold,
    /// A barline or a bar again.
    Barline,
    /// A number of beats.
    Number,
    /// A syllable of a count.
    Syllable,
    /// A dynamic or a mark.
    Mark,
    /// A heading.
    Heading,
    /// A comment.
    Comment,
}

impl TokenKind {
    /// The name in style sheets.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::BlockWord => "block-word",
            Self::NameGiven => "name-given",
            Self::NameUsed => "name-used",
            Self::Words => "words",
            Self::Key => "key",
            Self::Value => "value",
            Self::RowWord => "row-word",
            Self::Letter => "letter",
            Self::AccentedLetter => "accented-letter",
            Self::GhostedLetter => "ghosted-letter",
            Self::Rest => "rest",
            Self::Hold => "hold",
            Self::Barline => "barline",
            Self::Number => "number-of-beats",
            Self::Syllable => "syllable",
            Self::Mark => "mark",
            Self::Heading => "heading",
            Self::Comment => "comment",
        }
    }

    /// All of them, in order.
    pub const ALL: [Self; 18] = [
        Self::BlockWord,
        Self::NameGiven,
        Self::NameUsed,
        Self::Words,
        Self::Key,
        Self::Value,
        Self::RowWord,
        Self::Letter,
        Self::AccentedLetter,
        Self::GhostedLetter,
        Self::Rest,
        Self::Hold,
        Self::Barline,
        Self::Number,
        Self::Syllable,
        Self::Mark,
        Self::Heading,
        Self::Comment,
    ];
}
