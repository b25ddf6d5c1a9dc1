//! Rods: the least distances that words under the staff ask for (the springs and rods of Gourlay,
//! "Spacing a Line of Music", 1987).

use super::gaps::Gap;
use crate::engrave::engraver::Engraver;
use crate::engrave::measure::columns::Column;
use crate::engrave::measure::rows;
use crate::engrave::measure::rows::{RowItem, UnderRow};
use crate::engrave::measure::voice::VoiceShape;
use crate::score::{Bar, PlayerPart};

/// Room between free words, as a factor on that between letters (no source).
const BETWEEN_WORDS: f64 = 2.0;

/// A least distance between two columns.
#[derive(Clone, Copy, Debug)]
pub struct Rod {
    /// Left column.
    pub from: usize,
    /// Right column; one past the last for the end of the bar.
    pub to: usize,
    /// Their least distance.
    pub length: f64,
    /// Ink to the left of the left column's centre.
    pub left_of_from: f64,
}

/// The least distances the rows ask for.
pub fn rods(
    engraver: &Engraver<'_>,
    part: &PlayerPart,
    bar: &Bar,
    columns: &[Column],
    voices: &[VoiceShape],
) -> Vec<Rod> {
    let mut rods = Vec::new();
    for row in UnderRow::ALL {
        let items = rows::items(engraver, part, bar, row, voices);
        rods.extend(items.first().and_then(|first| from_barline(engraver, row, columns, first)));
        for (index, item) in items.iter().enumerate() {
            rods.extend(rod(engraver, row, columns, item, items.get(index + 1)));
        }
    }
    rods
}

/// The least room between words of a row.
fn gap(engraver: &Engraver<'_>, row: UnderRow) -> f64 {
    let factor = match row {
        UnderRow::Sticking
        | UnderRow::OtherSticking
        | UnderRow::Pedalling
        | UnderRow::OtherPedalling
        | UnderRow::Counts => 1.0,
        UnderRow::Words => BETWEEN_WORDS,
    };
    engraver.style.word_gap * factor
}

/// The rod from the first column to the first words of a row, where these stand later: they do not
/// reach over the barline.
fn from_barline(
    engraver: &Engraver<'_>,
    row: UnderRow,
    columns: &[Column],
    item: &RowItem,
) -> Option<Rod> {
    let to = columns.iter().position(|c| c.at == item.at)?;
    let length = item.left + gap(engraver, row) / 2.0 - engraver.style.after_barline;
    (to > 0).then_some(Rod { from: 0, to, length, left_of_from: 0.0 })
}

/// The rod from words to the next of their row, or to the end of the bar.
fn rod(
    engraver: &Engraver<'_>,
    row: UnderRow,
    columns: &[Column],
    item: &RowItem,
    next: Option<&RowItem>,
) -> Option<Rod> {
    let gap = gap(engraver, row);
    let from = columns.iter().position(|c| c.at == item.at)?;
    let to = next.and_then(|n| columns.iter().position(|c| c.at == n.at));
    let (to, length) = match (to, next) {
        (Some(to), Some(next)) => {
            // Grace letters belong to the letter after them and stand off the one before.
            let graces = if next.parts.len() > 1 { engraver.style.word_gap } else { 0.0 };
            (to, item.right + next.left + gap + graces)
        }
        (None, _) | (_, None) => (columns.len(), item.right + gap / 2.0),
    };
    (to > from).then_some(Rod { from, to, length, left_of_from: item.left })
}

/// Makes the least widths of the gaps under a rod add up to it, each in proportion to its time.
pub fn widen(gaps: &mut [Gap], rod: &Rod) {
    let Some(under) = gaps.get_mut(rod.from..rod.to) else { return };
    let have: f64 = under.iter().map(|g| g.min).sum();
    let want = rod.length - have;
    if want <= 0.0 {
        return;
    }
    let ideal: f64 = under.iter().map(|g| g.ideal).sum();
    let count = under.len() as f64;
    for gap in under {
        let share = if ideal > 0.0 { gap.ideal / ideal } else { 1.0 / count };
        gap.min += want * share;
    }
}
