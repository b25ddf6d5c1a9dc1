//! Blocks of music: bars, voices and what stands under and over them.

use super::kit::InstrumentId;
use super::settings::BlockSettings;
use super::{Kit, Meter, Time};
use crate::source::Span;
use crate::syntax::tree::{Accent, BlockWord, Hand, Touch};
use std::sync::Arc;

/// A piece of music with a title.
#[derive(Clone, Debug)]
pub struct Block {
    /// The word it began with.
    pub word: BlockWord,
    /// The name other blocks know it by.
    pub name: Option<String>,
    /// The title printed over it.
    pub title: Option<String>,
    /// Its number among the numbered blocks of the file, or of its chapter, from 1: fills,
    /// exercises and rudiments.
    pub number: Option<u32>,
    /// The number of its chapter, where its number begins anew in each.
    pub chapter: Option<u32>,
    /// The settings it is set with.
    pub settings: BlockSettings,
    /// The kit it is played on.
    pub kit: Arc<Kit>,
    /// Its bars.
    pub bars: Vec<Bar>,
    /// Its head line in the source.
    pub span: Span,
}

/// One bar. Times inside it count from its first beat.
#[derive(Clone, Debug, PartialEq)]
pub struct Bar {
    /// Its time signature.
    pub meter: Arc<Meter>,
    /// How long it is: less than the meter's length in a pickup bar or its complement.
    pub length: Time,
    /// Where in the meter it starts: nought, but for a pickup bar.
    pub offset: Time,
    /// Hands, or everything where hands and feet are one voice. Stems up.
    pub upper: Voice,
    /// Feet, where they are a voice of their own. Stems down.
    pub lower: Voice,
    /// Counting syllables under the bar, by time.
    pub counts: Vec<Syllable>,
    /// Sticking letters, by time.
    pub sticking: Vec<Sticking>,
    /// Foot letters, by time.
    pub pedalling: Vec<Sticking>,
    /// Free words under the notes, by time.
    pub words: Vec<Words>,
    /// Dynamics and hairpins, by time.
    pub dynamics: Vec<Dynamic>,
    /// What stands over the staff, by time.
    pub marks: Vec<Mark>,
    /// A repeat begins here.
    pub repeat_start: bool,
    /// What closes the bar.
    pub closing: Closing,
    /// The bar was written `%` in every row that sounds in it: its notes are there, and it is
    /// engraved as a repeat sign.
    pub again: Option<Again>,
    /// Where it stands in the source.
    pub span: Span,
}

/// One of the bars for which a repeat sign stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Again {
    /// How many bars the sign repeats, and stands for: 1, 2 or 4.
    pub bars: u8,
    /// Which of them this bar is, from 0.
    pub part: u8,
}

/// What closes a bar.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Closing {
    /// A single line; the block's last bar gets a final barline.
    Single,
    /// A double line.
    Double,
    /// A repeat to the last start.
    Repeat {
        /// Times played in all, at least 1.
        times: u32,
        /// Whether the number was written and so is printed.
        counted: bool,
    },
}

/// One voice of one bar.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Voice {
    /// Its hits, by time, no two at the same time.
    pub hits: Vec<Hit>,
    /// How its beats are divided, by start, not overlapping. A stretch that no division covers is
    /// divided in plain halves of its beats. A division is in its reduced form: no coarser one has
    /// all its hits' starts and ends on its parts.
    pub divisions: Vec<Division>,
}

/// A stretch of time divided into equal parts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Division {
    /// Its start in the bar.
    pub start: Time,
    /// How long it is.
    pub length: Time,
    /// Parts, 1 to 512.
    pub parts: u32,
    /// Divisions of single parts.
    pub inner: Vec<Division>,
}

/// Something struck.
#[derive(Clone, Debug, PartialEq)]
pub struct Hit {
    /// When, in the bar.
    pub at: Time,
    /// The end the text pins it to (`-`, `_`, `rests: full`); otherwise it lasts up to the next
    /// hit or to the end of its beat, where one plain or dotted note can say so.
    pub until: Option<Time>,
    /// What is struck, lowest staff position first.
    pub strikes: Vec<Strike>,
    /// Grace notes before it, 0 to 3.
    pub grace: u8,
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
}

/// A counting syllable.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Syllable {
    /// When.
    pub at: Time,
    /// What is said.
    pub text: String,
    /// Whether a note sounds there; a silent syllable is printed lighter.
    pub sounded: bool,
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
    /// Where it is written.
    pub span: Span,
}

/// Free words under a note.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Words {
    /// When.
    pub at: Time,
    /// The words.
    pub text: String,
    /// Where they are written.
    pub span: Span,
}

/// A dynamic or the start of a hairpin.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Dynamic {
    /// When.
    pub at: Time,
    /// Which.
    pub kind: DynamicKind,
    /// Where it is written.
    pub span: Span,
}

/// Dynamics.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum DynamicKind {
    /// Letters of `p m f r s z n`, as `mf`.
    Letters(String),
    /// A hairpin that opens, up to the next dynamic or `!`.
    Louder,
    /// A hairpin that closes.
    Softer,
    /// The end of a hairpin where no dynamic follows (`!`).
    End,
}

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

/// What can stand over the staff.
#[derive(Clone, Debug, PartialEq)]
pub enum MarkKind {
    /// A section letter in a box.
    Section(String),
    /// An ending: the passes it is played on, as `1` or `1, 2`. It reaches to the next ending or to
    /// the repeat or double line that closes it.
    Ending(String),
    /// Segno.
    Segno,
    /// Coda.
    Coda,
    /// `Fine`, `D.C.`, `D.S.` and their kin, set at the right end of the bar.
    Direction(String),
    /// A new tempo.
    Tempo(super::settings::Tempo),
    /// A new feel.
    Swing(super::settings::Swing),
    /// Straight again.
    Straight,
    /// A fermata over the note.
    Fermata,
    /// Words.
    Words(String),
    /// A line of music begins with the bar.
    NewLine {
        /// Asked for; else no more than a good place.
        asked: bool,
    },
    /// A breath at the end of the beat.
    Breath,
    /// A break in time at the end of the beat.
    Caesura,
    /// A metric modulation: what was the one note value is now as long as the other.
    Modulation {
        /// The value before.
        was: Time,
        /// The value from here on.
        now: Time,
    },
}
