//! Tempo and feel at the head of a block: over its first bar, or beside its title.

use super::baseline::BaselineItem;
use super::inscription::Inscription;
use crate::drawing::Mark;
use crate::engrave::draw::placed_bar::PlacedBar;
use crate::engrave::engraver::Engraver;
use crate::score::Block;
use crate::score::settings::Tempo;

/// Between a tempo and a feel beside a title, in staff spaces (no source).
const BETWEEN: f64 = 2.0;

/// Tempo and feel for a place beside a title.
#[derive(Debug, Default)]
pub struct Heading {
    /// Its marks, on a baseline at y zero, from x zero to the right; in staff spaces.
    pub marks: Vec<Mark>,
    /// How wide it is.
    pub width: f64,
}

/// Tempo, the one to be reached, then feel.
fn inscriptions(engraver: &Engraver<'_>, block: &Block) -> impl Iterator<Item = Inscription> {
    let tempo = block.settings.tempo.as_ref().filter(|tempo| tempo.printed);
    let tempo = tempo.map(|tempo| Inscription::tempo(engraver, tempo));
    let goal = block.settings.goal.as_ref().map(|goal| {
        let words = Some(engraver.printed.goal.to_owned());
        Inscription::tempo(engraver, &Tempo { words, ..goal.clone() })
    });
    let swing = block.settings.swing.as_ref().map(|swing| Inscription::swing(engraver, swing));
    tempo.into_iter().chain(goal).chain(swing)
}

/// The heading of a block, where it has a tempo or a feel.
pub fn heading(engraver: &Engraver<'_>, block: &Block) -> Option<Heading> {
    let mut whole: Option<Heading> = None;
    for inscription in inscriptions(engraver, block) {
        let heading = whole.get_or_insert_default();
        let left = if heading.width > 0.0 { heading.width + BETWEEN } else { 0.0 };
        let moved = inscription
            .marks
            .into_iter()
            .map(|mark| Mark { shape: mark.shape.scaled_and_moved(1.0, left, 0.0), ..mark });
        heading.marks.extend(moved);
        heading.width = left + inscription.width;
    }
    whole
}

/// The same over the time signature of the first bar.
pub fn over(engraver: &Engraver<'_>, block: &Block, bars: &[PlacedBar<'_>]) -> Vec<BaselineItem> {
    let left = bars.first().map_or(0.0, |b| b.left + engraver.style.after_clef);
    let place = Some(block.span);
    inscriptions(engraver, block)
        .map(|inscription| BaselineItem { inscription, left, follows: true, place })
        .collect()
}
