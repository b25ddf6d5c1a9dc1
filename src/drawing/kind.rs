//! The names of marks and of groups of marks. Writers use them as SVG classes and in JSON.

use super::prose::Prose;
use crate::score::Time;
use std::sync::Arc;

/// What a mark is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[allow(missing_docs, reason = "each variant is the plain name of the mark")]
pub enum Kind {
    StaffLine,
    Ledger,
    Barline,
    RepeatDot,
    Clef,
    TimeSignature,
    Notehead,
    GhostBracket,
    Stem,
    Flag,
    Beam,
    Dot,
    Rest,
    Tie,
    Slur,
    Tuplet,
    Grace,
    GraceSlash,
    Stroke,
    Buzz,
    Accent,
    Articulation,
    Opening,
    Choke,
    RollNumber,
    Unclear,
    Dynamic,
    Hairpin,
    Gradual,
    Count,
    Sticking,
    Pedalling,
    Words,
    Blank,
    Section,
    Ending,
    Phrase,
    Sign,
    Tempo,
    Swing,
    BarRepeat,
    BarNumber,
    PlayerName,
    PlayerBracket,
    CueName,
    Number,
    Title,
    Level,
    Subtitle,
    Author,
    Heading,
    Text,
    Rule,
    Picture,
    RunningHead,
    Foot,
}

impl Kind {
    /// The name in SVG classes and in JSON.
    pub fn name(self) -> &'static str {
        match self {
            Self::StaffLine => "staff-line",
            Self::Ledger => "ledger",
            Self::Barline => "barline",
            Self::RepeatDot => "repeat-dot",
            Self::Clef => "clef",
            Self::TimeSignature => "time",
            Self::Notehead => "notehead",
            Self::GhostBracket => "ghost-bracket",
            Self::Stem => "stem",
            Self::Flag => "flag",
            Self::Beam => "beam",
            Self::Dot => "dot",
            Self::Rest => "rest",
            Self::Tie => "tie",
            Self::Slur => "slur",
            Self::Tuplet => "tuplet",
            Self::Grace => "grace",
            Self::GraceSlash => "grace-slash",
            Self::Stroke => "slash",
            Self::Buzz => "buzz",
            Self::Accent => "accent",
            Self::Articulation => "articulation",
            Self::Opening => "opening",
            Self::Choke => "choke",
            Self::RollNumber => "roll-number",
            Self::Unclear => "unclear",
            Self::Dynamic => "dynamic",
            Self::Hairpin => "hairpin",
            Self::Gradual => "gradual",
            Self::Count => "count",
            Self::Sticking => "sticking",
            Self::Pedalling => "pedalling",
            Self::Words => "words",
            Self::Blank => "blank",
            Self::Section => "section",
            Self::Ending => "ending",
            Self::Phrase => "phrase",
            Self::Sign => "sign",
            Self::Tempo => "tempo",
            Self::Swing => "swing",
            Self::BarRepeat => "bar-repeat",
            Self::BarNumber => "bar-number",
            Self::PlayerName => "player-name",
            Self::PlayerBracket => "player-bracket",
            Self::CueName => "cue-name",
            Self::Number => "number",
            Self::Title => "title",
            Self::Level => "level",
            Self::Subtitle => "subtitle",
            Self::Author => "author",
            Self::Heading => "heading",
            Self::Text => "text",
            Self::Rule => "rule",
            Self::Picture => "picture",
            Self::RunningHead => "running-head",
            Self::Foot => "foot",
        }
    }
}

/// What a group is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum GroupKind {
    /// A block of music, with its title.
    Block {
        /// The title, number or name a reader knows it by.
        title: String,
        /// The block read aloud; empty where there is nothing to say beside the title.
        spoken: Arc<str>,
        /// The byte of the source at which it starts.
        at: usize,
    },
    /// Words of one kind that belong together.
    Prose(Prose),
    /// One line of a block.
    System,
    /// What one of several players has in a line, with the player's name.
    Player(String),
    /// A bar.
    Bar {
        /// Its number in the block, from 1.
        number: usize,
    },
    /// Small notes over a bar, which its player does not play.
    SmallNotes,
    /// A note, chord or rest with all that belongs to it.
    Note {
        /// Its bar's number in the block, from 1.
        bar: usize,
        /// Its place in the bar in beats of the time signature's lower number, from 1, exact:
        /// `1`, `3/2`.
        beat: Time,
    },
}

impl GroupKind {
    /// Where the block is written that it is, in bytes of the text; nothing where it is no block.
    pub fn block_at(&self) -> Option<usize> {
        match *self {
            Self::Block { at, .. } => Some(at),
            Self::Prose(_)
            | Self::System
            | Self::Player(_)
            | Self::Bar { .. }
            | Self::SmallNotes
            | Self::Note { .. } => None,
        }
    }

    /// The name in SVG classes and in JSON.
    pub fn name(&self) -> &'static str {
        match self {
            Self::Block { .. } => "block",
            Self::Prose(prose) => prose.name(),
            Self::System => "system",
            Self::Player(_) => "player",
            Self::Bar { .. } => "bar",
            Self::SmallNotes => "small-notes",
            Self::Note { .. } => "note",
        }
    }
}
