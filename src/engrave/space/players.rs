//! A bar of several players: each is spaced alone, and then all share columns.

use super::bar::{OtherStaff, SpacedBar};
use super::gaps::Gap;
use super::rods::{self, Rod};
use super::{even, gaps, longer};
use crate::engrave::engraver::Engraver;
use crate::engrave::measure::columns::Column;
use crate::engrave::measure::small_notes::SMALL;
use crate::engrave::measure::voice::VoiceShape;
use crate::engrave::notate::shown::Shown;
use crate::score::Bar;

/// The bar that all players share, from that of each, the first of whom is the leader. What one player's
/// notes, letters and words need is a rod between the columns of all.
pub fn join(engraver: &Engraver<'_>, bar: &Bar, own: Vec<SpacedBar>) -> Option<SpacedBar> {
    let columns = columns(&own);
    let sounding: Vec<&VoiceShape> = own.iter().flat_map(|bar| &bar.voices).collect();
    let mut gaps = gaps::gaps(engraver, bar, &sounding, &columns);
    for gap in &mut gaps {
        // Heads of different staves may stand over each other.
        (gap.min, gap.ink) = (engraver.style.column_gap, engraver.style.column_gap);
    }
    for rod in own.iter().flat_map(|bar| own_rods(bar, &columns)) {
        rods::widen(&mut gaps, &rod);
    }
    gaps.iter_mut().for_each(|gap| gap.ink = gap.min);
    even::even_out(bar, &columns, &sounding, &mut gaps);
    longer::keep_longer_wider(bar, &columns, &mut gaps);
    even::even_out(bar, &columns, &sounding, &mut gaps);
    let most = |of: fn(&SpacedBar) -> f64| own.iter().map(of).fold(0.0, f64::max);
    let (lead, closing) = (most(|bar| bar.lead), most(|bar| bar.closing));
    let together = own.iter().all(|bar| Some(bar.shown) == own.first().map(|first| first.shown));
    if let (true, Some(Shown::Rest { .. })) = (together, own.first().map(|first| first.shown)) {
        // A rest of all of them has the room of the sign.
        gaps = own.first().map(|first| first.gaps.clone()).unwrap_or_default();
    }
    let mut own = own.into_iter();
    let first = own.next()?;
    let others = own
        .map(|bar| OtherStaff { voices: bar.voices, small: bar.small, shown: bar.shown })
        .collect();
    Some(SpacedBar { others, columns, gaps, lead, closing, ..first })
}

/// A bar with small notes over it, which was spaced as if it had none. The small notes are spaced like another
/// player's, and take as much less room as they are smaller.
pub fn with_small(
    engraver: &Engraver<'_>,
    (bar, spaced): (&Bar, SpacedBar),
    mut small: SpacedBar,
) -> Option<SpacedBar> {
    for column in &mut small.columns {
        (column.left, column.right) = (column.left * SMALL, column.right * SMALL);
    }
    small.gaps.iter_mut().for_each(|gap| gap.min *= SMALL);
    (small.lead, small.closing) = (0.0, 0.0);
    let mut joined = join(engraver, bar, vec![spaced, small])?;
    joined.small = joined.others.pop().map(|other| Box::new(other.voices));
    Some(joined)
}

/// The columns of all, each as wide as the widest of them.
fn columns(own: &[SpacedBar]) -> Vec<Column> {
    let mut columns: Vec<Column> = own.iter().flat_map(|bar| &bar.columns).cloned().collect();
    columns.sort_by_key(|column| column.at);
    columns.dedup_by(|later, kept| {
        let same = later.at == kept.at;
        if same {
            kept.left = kept.left.max(later.left);
            kept.right = kept.right.max(later.right);
        }
        same
    });
    columns
}

/// The gaps of one player as rods between the columns of all.
fn own_rods(bar: &SpacedBar, columns: &[Column]) -> Vec<Rod> {
    let index = |at| columns.partition_point(|column| column.at < at);
    let until = bar.columns.iter().skip(1).map(|column| index(column.at)).chain([columns.len()]);
    let rod = |((column, to), gap): ((&Column, usize), &Gap)| Rod {
        from: index(column.at),
        to,
        length: gap.min,
        left_of_from: column.left,
    };
    bar.columns.iter().zip(until).zip(&bar.gaps).map(rod).collect()
}
