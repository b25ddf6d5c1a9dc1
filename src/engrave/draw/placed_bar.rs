//! Bars with their places in a line.

use crate::engrave::engraver::Engraver;
use crate::engrave::measure::opening::{line_lead, opening_width};
use crate::engrave::space::bar::SpacedBar;
use crate::engrave::space::lines::SetLine;
use crate::engrave::space::widths::tie_room;
use crate::font::Glyph;
use crate::score::{Bar, PlayerPart, Time};

/// The least time between columns that counts, in whole notes: no two are so near.
const LEAST_TIME: f64 = 1e-9;

/// A bar with its place in the line.
pub struct PlacedBar<'a> {
    /// The bar.
    pub bar: &'a Bar,
    /// Its index in the part.
    pub index: usize,
    /// Its shapes and its room.
    pub spaced: SpacedBar,
    /// Left end, at the right edge of the barline before.
    pub left: f64,
    /// Right end, at the right edge of its closing barline.
    pub right: f64,
    /// Centre of each column.
    pub columns: Vec<f64>,
    /// Width of the time signature and the repeat it begins with.
    pub opening: f64,
    /// It begins a line.
    pub first_of_line: bool,
}

impl PlacedBar<'_> {
    /// The middle of what is seen between the bar's opening and its closing barline.
    pub fn middle(&self) -> f64 {
        let opened = self.left + self.opening;
        (opened + self.right - self.spaced.closing) / 2.0
    }

    /// x of a moment: its column's centre, or between the columns around it.
    pub fn x(&self, at: Time) -> f64 {
        let times = &self.spaced.columns;
        let after = times.partition_point(|c| c.at < at);
        let end = (self.bar.length, self.right - self.spaced.closing);
        let point = |i: usize| match (times.get(i), self.columns.get(i)) {
            (Some(column), Some(x)) => (column.at, *x),
            (None, _) | (_, None) => end,
        };
        let (next, next_x) = point(after);
        if next == at || after == 0 {
            return next_x;
        }
        let (before, before_x) = point(after - 1);
        let share = (at - before).as_f64() / (next - before).as_f64().max(LEAST_TIME);
        before_x + (next_x - before_x) * share
    }
}

/// Places the bars of a line.
pub fn place_bars<'a>(
    engraver: &Engraver<'_>,
    part: &'a PlayerPart,
    clef: Option<Glyph>,
    line: &SetLine,
    bars: Vec<SpacedBar>,
) -> Vec<PlacedBar<'a>> {
    let time = bars.first().is_some_and(|first| first.opening.time);
    let lead = line_lead(engraver, clef, time);
    let mut left = lead + bars.first().map_or(0.0, tie_room);
    let mut placed = Vec::with_capacity(bars.len());
    let written = part.bars.iter().enumerate().skip(line.from);
    for ((index, bar), spaced) in written.zip(bars) {
        let mut x = left + spaced.lead;
        let mut columns = Vec::with_capacity(spaced.columns.len());
        for gap in &spaced.gaps {
            columns.push(x);
            x += gap.width(line.stretch, line.tight);
        }
        let right = x + spaced.closing;
        let opening = opening_width(engraver, &bar.meter, spaced.opening);
        let first_of_line = index == line.from;
        placed.push(PlacedBar { bar, index, spaced, left, right, columns, opening, first_of_line });
        left = right;
    }
    placed
}
