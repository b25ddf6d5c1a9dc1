//! Blocks of music.

use super::settings::{BlockSettings, PartSettings};
use super::{Bar, Kit, Span, Time};
use std::borrow::Cow;
use std::sync::Arc;

/// A piece of music with a title.
#[derive(Clone, Debug, PartialEq)]
pub struct Block {
    /// The word it began with.
    pub word: BlockWord,
    /// The name other blocks know it by.
    pub name: Option<String>,
    /// The block it was made from, by its name.
    pub parent: Option<String>,
    /// The names of the blocks that it plays one after the other, where it is a context.
    pub plays: Arc<[String]>,
    /// The title printed over it.
    pub title: Option<String>,
    /// The settings it is set with.
    pub settings: BlockSettings,
    /// What the only player plays, or the first of several, whose bars carry what holds for all: marks of
    /// the form, tempo, repeats.
    pub part: PlayerPart,
    /// What the other players play, in as many bars, each as long.
    pub others: Vec<PlayerPart>,
    /// Its head line. As all places in a block it counts from where the block starts.
    pub span: Span,
}

/// What one player of a block plays.
#[derive(Clone, Debug, PartialEq)]
pub struct PlayerPart {
    /// Who plays it, where the block has several players or names its one.
    pub player: Option<Player>,
    /// The settings its rows are set with.
    pub settings: PartSettings,
    /// The kit it is played on.
    pub kit: Arc<Kit>,
    /// Its bars.
    pub bars: Vec<Bar>,
}

impl PlayerPart {
    /// The part of a block's only player, whom nobody names.
    pub fn alone(settings: PartSettings, kit: Arc<Kit>, bars: Vec<Bar>) -> Self {
        Self { player: None, settings, kit, bars }
    }
}

/// A player of a block.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Player {
    /// The name as written, printed before the player's first line.
    pub name: String,
    /// The name printed before later lines.
    pub short: String,
}

impl Block {
    /// What each player plays, from the top of the system down; at least one.
    pub fn parts(&self) -> impl Iterator<Item = &PlayerPart> {
        std::iter::once(&self.part).chain(&self.others)
    }

    /// The same, to be changed.
    pub fn parts_mut(&mut self) -> impl Iterator<Item = &mut PlayerPart> {
        std::iter::once(&mut self.part).chain(&mut self.others)
    }

    /// The same with one player alone, whose part is given.
    pub fn played_by(&self, part: PlayerPart) -> Self {
        Self {
            word: self.word,
            name: self.name.clone(),
            parent: self.parent.clone(),
            plays: self.plays.clone(),
            title: self.title.clone(),
            settings: self.settings.clone(),
            part,
            others: Vec::new(),
            span: self.span,
        }
    }

    /// Whether its first bar is a pickup.
    pub fn has_pickup(&self) -> bool {
        self.part.bars.first().is_some_and(|bar| bar.offset > Time::ZERO)
    }
}

/// A block where it stands.
#[derive(Clone, Debug)]
pub struct PlacedBlock {
    /// The block, which is the same wherever it stands.
    pub block: Arc<Block>,
    /// The byte of the source at which its head line starts.
    pub at: usize,
    /// Its number, where it is a fill, an exercise or a rudiment.
    pub number: Option<BlockNumber>,
}

/// The number of a block.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct BlockNumber {
    /// The number of its chapter, where numbers begin anew in each.
    pub chapter: Option<u32>,
    /// Its number among the numbered blocks of the file, or of its chapter, from 1.
    pub number: u32,
}

impl std::fmt::Display for BlockNumber {
    /// As it is printed: `12`, or with its chapter `3.12`.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self.chapter {
            Some(chapter) => write!(f, "{chapter}.{}", self.number),
            None => write!(f, "{}", self.number),
        }
    }
}

impl std::ops::Deref for PlacedBlock {
    type Target = Block;

    fn deref(&self) -> &Block {
        &self.block
    }
}

/// The word a block starts with.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum BlockWord {
    /// A beat that goes round.
    Groove,
    /// A fill.
    Fill,
    /// An exercise.
    Exercise,
    /// A rudiment.
    Rudiment,
    /// Letters of the kit.
    Kit,
    /// A table of counting syllables.
    Syllables,
    /// A block made from another by what changes in it.
    Variation,
    /// Blocks played one after another.
    Context,
    /// Exercises made by a rule.
    Series,
    /// Lines that hold where the file is printed for somebody.
    Edition,
}

impl BlockWord {
    /// All of them.
    pub const ALL: [Self; 10] = [
        Self::Groove,
        Self::Fill,
        Self::Exercise,
        Self::Rudiment,
        Self::Kit,
        Self::Syllables,
        Self::Variation,
        Self::Context,
        Self::Series,
        Self::Edition,
    ];

    /// Whether it has keys and no rows: its music is made from other blocks or by a rule, or it has none.
    pub fn has_only_keys(self) -> bool {
        match self {
            Self::Variation | Self::Context | Self::Series | Self::Edition => true,
            Self::Groove
            | Self::Fill
            | Self::Exercise
            | Self::Rudiment
            | Self::Kit
            | Self::Syllables => false,
        }
    }

    /// Whether it has music, or makes some.
    pub fn has_music(self) -> bool {
        match self {
            Self::Groove
            | Self::Fill
            | Self::Exercise
            | Self::Rudiment
            | Self::Variation
            | Self::Context
            | Self::Series => true,
            Self::Kit | Self::Syllables | Self::Edition => false,
        }
    }

    /// The word as written.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Groove => "groove",
            Self::Fill => "fill",
            Self::Exercise => "exercise",
            Self::Rudiment => "rudiment",
            Self::Kit => "kit",
            Self::Syllables => "syllables",
            Self::Variation => "variation",
            Self::Context => "context",
            Self::Series => "series",
            Self::Edition => "edition",
        }
    }
}

/// A name as names are compared: in lower case.
pub fn name_key(name: &str) -> Cow<'_, str> {
    if name.bytes().all(|byte| byte.is_ascii() && !byte.is_ascii_uppercase()) {
        Cow::Borrowed(name)
    } else {
        Cow::Owned(name.to_lowercase())
    }
}

impl PlacedBlock {
    /// Its number as it is printed.
    pub fn printed_number(&self) -> Option<String> {
        self.number.map(|number| number.to_string())
    }

    /// What a reference to it prints: its number, or its title in quotes where it has none.
    pub fn label(&self) -> Option<String> {
        let title = || self.title.as_ref().map(|title| format!("\u{201c}{title}\u{201d}"));
        self.printed_number().or_else(title)
    }
}
