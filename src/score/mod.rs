//! The model: what a file means. Kit, exact time, bars, voices, counts and stickings, and the words
//! all stages share. Nothing here knows a millimetre, a notehead's width or a page, and nothing here
//! imports another stage.

pub mod bar;
pub mod block;
pub mod dynamic;
mod five_piece;
pub mod hit;
pub mod inline;
pub mod kit;
pub mod legend;
pub mod mark;
pub mod meter;
pub mod row;
pub mod settings;
pub mod span;
pub mod time;

pub use bar::{Again, Bar, Closing, Division, Syllable, Voice, Words};
pub use block::{Block, BlockWord};
pub use dynamic::{Dynamic, DynamicKind};
pub use hit::{Accent, Hand, Hit, Sticking, Strike, Touch};
pub use inline::{Inline, Reference, Told};
pub use kit::{Instrument, Kit};
pub use mark::{Mark, MarkKind};
pub use meter::Meter;
pub use row::{HitsRow, RowWord, WordsRow};
pub use settings::{Header, Limits};
pub use span::{Span, Spanned};
pub use time::Time;

use std::sync::Arc;

/// A whole file, understood.
#[derive(Clone, Debug, Default)]
pub struct Score {
    /// What the header says.
    pub header: Header,
    /// Headings, prose and music in order.
    pub items: Vec<Item>,
}

/// A piece of the body.
#[derive(Clone, Debug)]
pub enum Item {
    /// A heading.
    Heading {
        /// 0 for a part, 1 for a chapter, 2 for what is smaller.
        level: u8,
        /// Its words.
        text: Vec<Inline>,
    },
    /// A paragraph.
    Paragraph(Vec<Inline>),
    /// A list.
    List {
        /// Numbered or dashed.
        numbered: bool,
        /// Its entries.
        entries: Vec<Vec<Inline>>,
    },
    /// Music.
    Block(Arc<Block>),
}

impl Item {
    /// The references to blocks in its words.
    pub fn references(&self) -> Vec<&Reference> {
        inline::in_item(self)
    }
}
