//! How a file is printed for one use or another: for screens, on cards, as a worksheet.

use super::Colour;

/// What is behind the ink of a page.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Background {
    /// Paper, which is white.
    #[default]
    Paper,
    /// Nothing: what it is laid over shows.
    None,
    /// A colour, up to the edges.
    Colour(Colour),
}

/// How blocks are shared out on pages.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum BlocksOnPages {
    /// One after another.
    #[default]
    Follow,
    /// Each begins a page.
    OneAPage {
        /// What stands on a page stands in its middle.
        centred: bool,
    },
}

/// Where answers stand.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Answers {
    /// They are not printed.
    #[default]
    None,
    /// At the end, on a page of their own.
    LastPage,
}

/// What of a block is left blank, to be filled in by hand.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Blank {
    /// Its counting syllables.
    pub counts: bool,
    /// Its letters for hands and feet.
    pub sticking: bool,
    /// Its notes.
    pub notes: BlankNotes,
}

/// In which bars notes are left blank.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum BlankNotes {
    /// In none.
    #[default]
    None,
    /// In all.
    All,
    /// In the second, the fourth and so on.
    EverySecondBar,
}

impl Blank {
    /// Whether all is printed.
    pub fn is_nothing(self) -> bool {
        self == Self::default()
    }

    /// Whether the bar of an index is printed without its notes.
    pub fn hides_notes_of(self, bar: usize) -> bool {
        match self.notes {
            BlankNotes::None => false,
            BlankNotes::All => true,
            BlankNotes::EverySecondBar => bar % 2 == 1,
        }
    }
}
