//! The place a block is engraved for: its width, and what stands beside it.

use crate::font::Glyph;
use crate::score::Block;
use crate::score::settings::Staff;

/// The place a block is engraved for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BlockPlace {
    /// Its width, in staff spaces.
    pub width: f64,
    /// How wide its title is with a tempo beside it, in staff spaces: where its first line would end a little shorter, it
    /// is stretched to end with it.
    pub headed: f64,
    /// It is a column between others: a last line that fills most of the width is set to all of it, so
    /// that the blocks of a grid end alike.
    pub column: bool,
    /// What it shows at its ends.
    pub edges: Edges,
}

impl BlockPlace {
    /// The place of a block that has a width in staff spaces to itself.
    #[must_use]
    pub fn alone(block: &Block, width: f64) -> Self {
        Self { width, headed: 0.0, column: false, edges: Edges::alone(block.part.bars.len()) }
    }
}

/// What a block shows where it begins and how it ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Edges {
    /// Its lines begin with a clef.
    pub clef: bool,
    /// Its first bar shows its time signature.
    pub time: bool,
    /// Its tempo and feel stand over its first bar.
    pub heading: bool,
    /// Its last barline, where it ends plainly.
    pub end: FinalBarline,
}

/// The last barline of a block that ends plainly.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FinalBarline {
    /// A thin line and a thick one.
    Full,
    /// The same, lighter: after a single bar.
    Light,
    /// A thin line: of single bars side by side.
    Thin,
}

/// The thick line of a lighter final barline, as a factor on that of a full one (common practice, no
/// source).
const LIGHT: f64 = 2.0 / 3.0;

impl Edges {
    /// Those of a block of some bars that stands alone: it shows everything.
    #[must_use]
    pub fn alone(bars: usize) -> Self {
        let end = if bars == 1 { FinalBarline::Light } else { FinalBarline::Full };
        Self { clef: true, time: true, heading: true, end }
    }

    /// Whether it shows all that a block can begin with.
    pub fn shows_opening(self) -> bool {
        self.clef && self.time
    }

    /// The same with all that a block can begin with.
    #[must_use]
    pub fn with_opening(self) -> Self {
        Self { clef: true, time: true, ..self }
    }

    /// The clef that lines of a block make room for: that of any of its players.
    pub fn clef_of_all(self, block: &Block) -> Option<Glyph> {
        block.parts().find_map(|part| self.clef_of(part.settings.staff))
    }

    /// The clef of lines on a staff.
    pub fn clef_of(self, staff: Staff) -> Option<Glyph> {
        match staff {
            Staff::FiveLines | Staff::OneLine if self.clef => {
                Some(Glyph::UNPITCHED_PERCUSSION_CLEF_1)
            }
            Staff::FiveLines | Staff::OneLine | Staff::NoLine => None,
        }
    }
}

impl FinalBarline {
    /// How thick its second line is against that of a full one; nothing where it has none.
    pub fn thickness(self) -> Option<f64> {
        match self {
            Self::Full => Some(1.0),
            Self::Light => Some(LIGHT),
            Self::Thin => None,
        }
    }
}
