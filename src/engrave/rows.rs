//! The rows under the staff: dynamics, sticking, foot sticking, counts, words. Each stands on one
//! baseline in a system, each letter centred under its note.

use super::context::Context;
use super::gaps::Gap;
use super::grace;
use super::measured::{Column, VoiceShape};
use crate::drawing::{Ink, Kind};
use crate::font::{FaceStyle, Run};
use crate::score::Hand;
use crate::score::Time;
use crate::score::settings::CountDisplay;
use crate::score::{Bar, Block, Sticking};
use crate::source::Location;
use std::sync::Arc;

/// Rows of words in their order from the staff downwards. Dynamics stand above them all.
pub const ROWS: [Kind; 4] = [Kind::Sticking, Kind::Pedalling, Kind::Count, Kind::Words];

/// Words of a row at one moment.
#[derive(Clone, Debug)]
pub struct RowItem {
    /// When.
    pub at: Time,
    /// The words, each with the place of its centre from the centre of its column.
    pub parts: Vec<(Arc<Run>, f64)>,
    /// Ink to the left of the column's centre.
    pub left: f64,
    /// Ink to the right.
    pub right: f64,
    /// How dark it is.
    pub ink: Ink,
    /// Where it is written.
    pub place: Option<Location>,
}

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

/// Moments that need a column though nothing may sound there.
pub fn times(bar: &Bar) -> impl Iterator<Item = Time> + '_ {
    let counts = bar.counts.iter().map(|s| s.at);
    let words = bar.words.iter().map(|w| w.at);
    let sticking = bar.sticking.iter().chain(&bar.pedalling).map(|s| s.at);
    counts.chain(words).chain(sticking)
}

/// Size of a row's words in points.
pub fn points(context: &Context<'_>, row: Kind) -> f64 {
    match row {
        Kind::Count => context.style.count_pt,
        Kind::Words => context.style.words_pt,
        _ => context.style.sticking_pt,
    }
}

/// What a bar has in one row. `voices` places grace letters under their grace notes; without it
/// they stand close before their capital.
pub fn items(
    context: &Context<'_>,
    block: &Block,
    bar: &Bar,
    row: Kind,
    voices: &[VoiceShape],
) -> Vec<RowItem> {
    let points = points(context, row);
    let single = |at, text: &str, style, ink, place| {
        let (run, width) = context.words(text, style, points);
        let half = width / 2.0;
        RowItem { at, parts: vec![(run, 0.0)], left: half, right: half, ink, place }
    };
    match row {
        Kind::Count if block.settings.counts != CountDisplay::None => bar
            .counts
            .iter()
            .filter(|s| !s.text.is_empty())
            .map(|s| {
                let ink = if s.sounded { Ink::Black } else { Ink::Grey };
                single(s.at, &s.text, FaceStyle::Regular, ink, None)
            })
            .collect(),
        Kind::Words => bar
            .words
            .iter()
            .map(|w| single(w.at, &w.text, FaceStyle::Italic, Ink::Black, context.place(w.span)))
            .collect(),
        Kind::Sticking if block.settings.sticking => {
            bar.sticking.iter().map(|s| letters(context, s, points, voices)).collect()
        }
        Kind::Pedalling if block.settings.sticking => {
            bar.pedalling.iter().map(|s| letters(context, s, points, voices)).collect()
        }
        _ => Vec::new(),
    }
}

fn letters(
    context: &Context<'_>,
    sticking: &Sticking,
    points: f64,
    voices: &[VoiceShape],
) -> RowItem {
    let capital = |hand| match hand {
        Hand::Right => "R",
        Hand::Left => "L",
        Hand::Both => "B",
    };
    let (run, width) = context.words(capital(sticking.hand), FaceStyle::Regular, points);
    let mut left = width / 2.0;
    let right = left;
    let mut parts = Vec::new();
    let chord = voices.iter().find_map(|voice| {
        let at = voice.rhythm.events.iter().position(|e| e.at == sticking.at)?;
        voice.chords.get(at)?.as_ref().filter(|c| usize::from(c.grace) == sticking.grace.len())
    });
    let centres = chord.map(|c| grace::centres(context, c)).unwrap_or_default();
    let mut close = -left - 0.1;
    let grace: Vec<_> = sticking
        .grace
        .iter()
        .map(|hand| {
            let letter = capital(*hand).to_lowercase();
            context.words(&letter, FaceStyle::Regular, points)
        })
        .collect();
    for (index, (run, width)) in grace.into_iter().enumerate().rev() {
        let wanted = centres.get(index).copied().unwrap_or(close);
        let centre = wanted.min(close - width / 2.0);
        close = centre - width / 2.0 - 0.1;
        left = left.max(-close - 0.1);
        parts.insert(0, (run, centre));
    }
    parts.push((run, 0.0));
    let place = context.place(sticking.span);
    RowItem { at: sticking.at, parts, left, right, ink: Ink::Black, place }
}

/// The least distances the rows ask for.
pub fn rods(
    context: &Context<'_>,
    block: &Block,
    bar: &Bar,
    columns: &[Column],
    voices: &[VoiceShape],
) -> Vec<Rod> {
    let mut rods = Vec::new();
    for row in ROWS {
        let items = items(context, block, bar, row, voices);
        let gap = context.style.word_gap * if row == Kind::Words { 2.0 } else { 1.0 };
        for (index, item) in items.iter().enumerate() {
            let Some(from) = columns.iter().position(|c| c.at == item.at) else { continue };
            let next = items.get(index + 1);
            let to = next.and_then(|n| columns.iter().position(|c| c.at == n.at));
            let (to, length) = match (to, next) {
                (Some(to), Some(next)) => {
                    // Grace letters belong to the letter after them and stand off the one before.
                    let graces = if next.parts.len() > 1 { context.style.word_gap } else { 0.0 };
                    (to, item.right + next.left + gap + graces)
                }
                _ => (columns.len(), item.right + gap / 2.0),
            };
            if to > from {
                rods.push(Rod { from, to, length, left_of_from: item.left });
            }
        }
    }
    rods
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
