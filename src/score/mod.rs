//! The model: what a file means. Kit, exact time, bars, voices, counts and stickings, and the words
//! all stages share. Nothing here knows a millimetre, a notehead's width or a page, and nothing here
//! imports another stage.

pub mod bar;
pub mod block;
pub mod block_layout;
mod colour;
pub mod division;
pub mod dynamic;
mod five_piece;
pub mod front_matter;
mod grace;
mod hands;
pub mod hit;
pub mod inline;
mod item;
pub mod kit;
mod language;
pub mod legend;
mod lesson_words;
mod level;
pub mod mark;
mod mentions;
pub mod meter;
mod named_places;
mod parts;
pub mod practice;
mod printed_words;
pub mod printing;
pub mod prose;
pub mod row;
pub mod settings;
mod shorthand;
mod small_notes;
pub mod span;
pub mod time;

pub use bar::{Again, Bar, Closing, Cue, SmallNotes, Syllable, Voice, Words};
pub use block::{Block, BlockNumber, BlockWord, PlacedBlock, Player, PlayerPart, name_key};
pub use colour::Colour;
pub use division::{Division, NoteCount, SHORTEST};
pub use dynamic::{Dynamic, DynamicKind};
pub use five_piece::is_built_in;
pub use grace::{Grace, GraceDrum};
pub use hit::{Accent, Hand, Hit, Sticking, Strike, Strikes, Touch};
pub use inline::{Inline, Reference, Told};
pub use item::Item;
pub use kit::{Instrument, Kit};
pub use language::{OwnLanguage, language_of};
pub use lesson_words::LessonWords;
pub use level::Level;
pub use mark::{Mark, MarkKind};
pub use mentions::Mentions;
pub use meter::Meter;
pub use named_places::{NamedPlaces, ReferencePlace, Unreferable, exercises};
pub use printed_words::PrintedWords;
pub use prose::{Figure, ProseBlock};
pub use row::{HitsRow, RowWord, WordsRow};
pub use settings::{Header, Limits};
pub use shorthand::row_meant;
pub use span::{Placed, Span, Spanned};
pub use time::Time;

use crate::rope::{Iter, Rope};

/// A whole file, understood.
#[derive(Clone, Debug, Default)]
pub struct Score {
    /// What the header says.
    pub header: Header,
    /// Headings, prose and music in order.
    pub items: Rope<Item>,
    /// The item over the answers, by index: a heading, after which blocks stand once more.
    pub answers: Option<usize>,
    /// The blocks and headings that an edition does not print, with the numbers they have in the text as it
    /// stands.
    pub left_out: Vec<Item>,
}

impl Score {
    /// The items but for the answers, which say again what stands over them.
    pub fn items_once(&self) -> std::iter::Take<Iter<'_, Item>> {
        self.items.iter().take(self.answers.unwrap_or(self.items.len()))
    }

    /// The blocks that are printed, each once and in order.
    pub fn blocks_once(&self) -> impl Iterator<Item = &PlacedBlock> {
        self.items_once().filter_map(Item::block)
    }
}
