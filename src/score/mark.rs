//! What stands over the staff.

use super::settings::{Swing, Tempo};
use super::{Span, Time};

/// Something over the staff.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// When.
    pub at: Time,
    /// What.
    pub kind: MarkKind,
    /// Where it is written.
    pub span: Span,
}

/// What can stand over the staff, by what it is about.
#[derive(Clone, Debug, PartialEq)]
pub enum MarkKind {
    /// The form: where its parts begin, and which is played when.
    Form(FormMark),
    /// The tempo.
    Tempo(TempoMark),
    /// How beats are divided.
    Feel(FeelMark),
    /// One note, or the end of its beat.
    Note(NoteMark),
    /// Words.
    Words(String),
    /// The number of an exercise that begins here.
    Number(u32),
    /// Where lines and pages begin.
    Layout(LayoutMark),
    /// Phrases.
    Phrase(PhraseMark),
}

/// A mark of the form.
#[derive(Clone, Debug, PartialEq)]
pub enum FormMark {
    /// A section letter in a box.
    Section(String),
    /// An ending. It reaches to the next ending or to the repeat or double line that closes it; a
    /// later one that no repeat closes ends with its passage, or is as long as the first.
    Ending(Passes),
    /// Segno.
    Segno,
    /// Coda.
    Coda,
    /// Where to go on, set at the right end of the bar.
    Direction(Direction),
}

/// A mark that says a tempo, and so ends a gradual change of it.
#[derive(Clone, Debug, PartialEq)]
pub enum TempoMark {
    /// A new tempo.
    New(Tempo),
    /// Faster and faster or slower and slower, up to the next mark that says a tempo.
    Gradual(TempoChange),
    /// The tempo again that was before it changed gradually.
    ATempo,
    /// A metric modulation: what was the one note value is now as long as the other.
    Modulation {
        /// The value before.
        was: Time,
        /// The value from here on.
        now: Time,
    },
}

/// A mark that says how beats are divided.
#[derive(Clone, Debug, PartialEq)]
pub enum FeelMark {
    /// A new feel.
    Swing(Swing),
    /// Straight again.
    Straight,
}

/// A mark of one note, which means nothing without it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoteMark {
    /// A fermata over the note.
    Fermata,
    /// A breath at the end of the beat.
    Breath,
    /// A break in time at the end of the beat.
    Caesura,
}

/// A mark that is not seen, but says how lines and pages are broken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LayoutMark {
    /// A line of music begins with the bar.
    NewLine {
        /// Asked for; else no more than a good place.
        asked: bool,
    },
    /// A page, and so a line, begins with the bar.
    NewPage,
    /// The page may be turned after the bar: the hands rest.
    Turn,
}

/// A mark of phrases.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PhraseMark {
    /// A phrase begins, with its number where it has one. It goes on to the next phrase or its end.
    Begins(Option<u32>),
    /// The phrase before is over.
    Ends,
}

/// How a tempo changes gradually.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum TempoChange {
    /// Ritardando.
    Slower,
    /// Accelerando.
    Faster,
}

impl TempoChange {
    /// As it is printed.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Slower => "rit.",
            Self::Faster => "accel.",
        }
    }
}

/// A phrase that goes on from the bar before.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OpenPhrase {
    /// Its number.
    pub number: Option<u32>,
    /// Where its mark is written.
    pub span: Span,
}

/// What a mark does to phrases.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PhraseStep {
    /// One begins, and with it the one before ends.
    Begins(OpenPhrase),
    /// One ends.
    Ends,
}

impl Mark {
    /// What it does to phrases.
    #[must_use]
    pub fn phrase(&self) -> Option<PhraseStep> {
        let MarkKind::Phrase(phrase) = self.kind else { return None };
        Some(match phrase {
            PhraseMark::Begins(number) => {
                PhraseStep::Begins(OpenPhrase { number, span: self.span })
            }
            PhraseMark::Ends => PhraseStep::Ends,
        })
    }
}

impl MarkKind {
    /// What it says of the form, where it says anything of it.
    #[must_use]
    pub fn form(&self) -> Option<&FormMark> {
        match self {
            Self::Form(form) => Some(form),
            Self::Tempo(_)
            | Self::Feel(_)
            | Self::Note(_)
            | Self::Words(_)
            | Self::Number(_)
            | Self::Layout(_)
            | Self::Phrase(_) => None,
        }
    }

    /// The words it is, where it is words.
    #[must_use]
    pub fn words(&self) -> Option<&str> {
        if let Self::Words(words) = self { Some(words) } else { None }
    }

    /// Whether it holds for all players of a block, whoever's rows it stands with.
    #[must_use]
    pub fn is_of_all(&self) -> bool {
        match self {
            Self::Form(_)
            | Self::Tempo(_)
            | Self::Feel(_)
            | Self::Note(_)
            | Self::Number(_)
            | Self::Layout(_) => true,
            Self::Words(_) | Self::Phrase(_) => false,
        }
    }

    /// Whether it says a tempo, and so ends a gradual change of it.
    #[must_use]
    pub fn says_tempo(&self) -> bool {
        match self {
            Self::Tempo(_) => true,
            Self::Form(_)
            | Self::Feel(_)
            | Self::Note(_)
            | Self::Words(_)
            | Self::Number(_)
            | Self::Layout(_)
            | Self::Phrase(_) => false,
        }
    }
}

/// The passes on which an ending is played, as `1, 2`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Passes {
    numbers: Vec<u32>,
    text: String,
}

impl Passes {
    /// Passes in the order written, from 1.
    #[must_use]
    pub fn new(numbers: Vec<u32>) -> Self {
        let text = numbers.iter().map(u32::to_string).collect::<Vec<_>>().join(", ");
        Self { numbers, text }
    }

    /// Whether it is played on a pass, counted from 1.
    #[must_use]
    pub fn has(&self, pass: u32) -> bool {
        self.numbers.contains(&pass)
    }

    /// The highest pass; zero where there is none.
    #[must_use]
    pub fn last(&self) -> u32 {
        self.numbers.iter().copied().max().unwrap_or(0)
    }

    /// As they are printed.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.text
    }
}

/// Where a piece goes on or ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Direction {
    /// The end after a jump that says so.
    Fine,
    /// After a jump that says so, on to the coda.
    ToCoda,
    /// Back.
    Jump {
        /// Where to.
        back: Back,
        /// How far the passage that is played again goes.
        until: Until,
        /// Printed in full words and not in letters.
        in_full: bool,
    },
}

/// Where a jump leads to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Back {
    /// *Da capo*: the start.
    Start,
    /// *Dal segno*: the sign.
    Segno,
}

/// How far the passage after a jump goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Until {
    /// To the end.
    End,
    /// *al Fine*.
    Fine,
    /// *al Coda*: to the direction to the coda, and on from the coda.
    Coda,
}

impl Direction {
    /// As it is printed.
    #[must_use]
    pub fn words(self) -> &'static str {
        let Self::Jump { back, until, in_full } = self else {
            return if self == Self::Fine { "Fine" } else { "To Coda" };
        };
        match (back, until, in_full) {
            (Back::Start, Until::End, false) => "D.C.",
            (Back::Start, Until::Fine, false) => "D.C. al Fine",
            (Back::Start, Until::Coda, false) => "D.C. al Coda",
            (Back::Segno, Until::End, false) => "D.S.",
            (Back::Segno, Until::Fine, false) => "D.S. al Fine",
            (Back::Segno, Until::Coda, false) => "D.S. al Coda",
            (Back::Start, Until::End, true) => "Da Capo",
            (Back::Start, Until::Fine, true) => "Da Capo al Fine",
            (Back::Start, Until::Coda, true) => "Da Capo al Coda",
            (Back::Segno, Until::End, true) => "Dal Segno",
            (Back::Segno, Until::Fine, true) => "Dal Segno al Fine",
            (Back::Segno, Until::Coda, true) => "Dal Segno al Coda",
        }
    }
}
