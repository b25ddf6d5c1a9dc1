//! How wide the lines of a block are.

use super::bar::SpacedBar;
use crate::engrave::engraver::Engraver;
use crate::engrave::measure::opening::line_lead;
use crate::engrave::place::BlockPlace;
use crate::score::Block;

/// How much of the width of a page a last line fills that is set to all of it (no source).
const NEARLY_FULL: f64 = 0.85;
/// The same for a column of a grid (no source).
const COLUMN_FULL: f64 = 0.75;
/// Room a line needs at its head for a tie that comes from the line before, which is two spaces long
/// with what stands before a first note (no source).
pub const TIE_ROOM: f64 = 1.6;

/// How wide the lines of a block are.
#[derive(Clone, Copy, Debug)]
pub struct LineWidths {
    /// From margin to margin.
    pub line: f64,
    /// How wide what stands over the first is.
    pub headed: f64,
    /// What a line begins with that has a time signature: its clef.
    pub lead: f64,
    /// What other lines begin with: the clef, and the room a time signature would take.
    pub later_lead: f64,
    /// The narrowest and the widest a line may be set against its ideal.
    pub limits: (f64, f64),
    /// Bars on a line, where asked.
    pub forced: Option<usize>,
    /// The first bar is a pickup, which is not one of them.
    pub pickup: bool,
    /// A line that would be tighter than the narrowest is set smaller instead.
    pub shrinks: bool,
    /// A short last line that fills at least so much of the width is set to the full width.
    pub nearly: f64,
}

/// What a line needs besides at its head where its first note is tied from the line before.
pub fn tie_room(first: &SpacedBar) -> f64 {
    if first.line_start.tied_in { TIE_ROOM } else { 0.0 }
}

impl LineWidths {
    /// The lines of a block at its place.
    pub fn new(engraver: &Engraver<'_>, block: &Block, place: BlockPlace) -> Self {
        let style = engraver.style;
        let clef = place.edges.clef_of_all(block);
        let lead = |time| line_lead(engraver, clef, time);
        Self {
            line: place.width,
            headed: place.headed,
            lead: lead(true),
            later_lead: lead(false),
            shrinks: style.one_line,
            nearly: if place.column { COLUMN_FULL } else { NEARLY_FULL },
            pickup: block.has_pickup(),
            limits: (style.tightest, style.loosest),
            forced: match style.one_line {
                true => Some(block.part.bars.len()),
                false => block.settings.bars_per_line.map(|n| n as usize),
            },
        }
    }

    /// What a line begins with before its first bar.
    pub fn lead_of(&self, first: &SpacedBar) -> f64 {
        first.line_start.names
            + tie_room(first)
            + if first.opening.time { self.lead } else { self.later_lead }
    }

    /// The room of a line for its bars.
    pub fn room(&self, first: &SpacedBar, warning: f64) -> f64 {
        (self.line - self.lead_of(first) - warning).max(1.0)
    }
}
