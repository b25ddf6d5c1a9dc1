//! What is struck, and how: hits, hands, accents and touches.

use super::kit::InstrumentId;
use super::{Grace, Span, Time};
use smallvec::SmallVec;

/// Something struck.
#[derive(Clone, Debug, PartialEq)]
pub struct Hit {
    /// When, in the bar.
    pub at: Time,
    /// The end the text pins it to (`-`, `_`, `rests: full`); otherwise it lasts up to the next
    /// hit or to the end of its beat, where one plain or dotted note can say so.
    pub until: Option<Time>,
    /// What is struck, lowest staff position first; nothing in particular where it is a beat slash.
    pub strikes: Strikes,
    /// Grace notes before it.
    pub grace: Grace,
    /// Strokes through its stem, 0 to 3.
    pub strokes: u8,
    /// Buzzed.
    pub buzz: bool,
    /// How it is played beyond that.
    pub touch: Touch,
    /// Tied to the next hit of the voice (in this bar or the next).
    pub tied: bool,
    /// Not struck anew: it goes on from the bar before.
    pub continued: bool,
    /// Its cell.
    pub span: Span,
}

impl Hit {
    /// Says that it and all its strikes are written in one place.
    pub fn set_span(&mut self, span: Span) {
        self.span = span;
        self.strikes.iter_mut().for_each(|strike| strike.span = span);
    }

    /// Whether it is a beat slash: time that is kept, or filled as the player likes.
    pub fn is_slash(&self) -> bool {
        self.strikes.is_empty()
    }

    /// Whether it is more than one stroke: a diddle, a roll, a buzz.
    pub fn is_roll(&self) -> bool {
        self.strokes > 0 || self.buzz || self.touch.roll.is_some()
    }

    /// Whether it is the same but for where it is written.
    pub fn is_like(&self, other: &Self) -> bool {
        let without_spans = |hit: &Self| {
            let mut hit = hit.clone();
            hit.set_span(Span::default());
            hit
        };
        without_spans(self) == without_spans(other)
    }
}

/// What a hit strikes: mostly one thing, which is held without a list of its own.
pub type Strikes = SmallVec<[Strike; 1]>;

/// One instrument of a hit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Strike {
    /// Which instrument of the block's kit.
    pub instrument: InstrumentId,
    /// Its accent.
    pub accent: Accent,
    /// In brackets.
    pub ghost: bool,
    /// Choked.
    pub choked: bool,
    /// Its cell, in its own row.
    pub span: Span,
}

/// How a hit is played, printed by its note.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Touch {
    /// Short: a dot.
    pub staccato: bool,
    /// Held to its full length: a dash.
    pub tenuto: bool,
    /// How many strokes a roll has, its last one with it: 3 to 99.
    pub roll: Option<u8>,
    /// Written down from listening, and not heard for certain: a question mark.
    pub unclear: bool,
    /// Left to ring with nothing after it: a short open tie.
    pub rings: bool,
}

impl Touch {
    /// Both.
    pub fn with(self, other: Self) -> Self {
        Self {
            staccato: self.staccato || other.staccato,
            tenuto: self.tenuto || other.tenuto,
            roll: self.roll.max(other.roll),
            unclear: self.unclear || other.unclear,
            rings: self.rings || other.rings,
        }
    }
}

/// How hard a note is struck beyond the ordinary.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Accent {
    /// Not marked.
    #[default]
    None,
    /// `>`
    Accent,
    /// `^`
    Marcato,
}

/// Which hand, or foot in a `pedal` row.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Hand {
    /// Right.
    Right,
    /// Left.
    Left,
    /// Both together.
    Both,
}

impl Hand {
    /// The other hand; both where it is both.
    #[must_use]
    pub fn other(self) -> Self {
        match self {
            Self::Right => Self::Left,
            Self::Left => Self::Right,
            Self::Both => Self::Both,
        }
    }

    /// Its letter in a sticking.
    #[must_use]
    pub fn letter(self) -> char {
        match self {
            Self::Right => 'R',
            Self::Left => 'L',
            Self::Both => 'B',
        }
    }
}

/// A sticking letter under a hit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sticking {
    /// When.
    pub at: Time,
    /// The hand.
    pub hand: Hand,
    /// The hands of its grace notes.
    pub grace: Vec<Hand>,
    /// The hand that may play it as well.
    pub other: Option<Hand>,
    /// Where it is written.
    pub span: Span,
}
