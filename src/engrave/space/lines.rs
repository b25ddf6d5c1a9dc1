//! Bars to lines, and how far each is stretched. A bar is never split.

use super::bar::SpacedBar;
use super::breaks::{breaks, ends_short, warning};
use super::widths::LineWidths;

/// How much of the width a line fills that is set to all of it, before one that the text asks for
/// (no source).
const ASKED_FULL: f64 = 0.5;
/// How far a line is stretched at most to end with what stands over it: less than is seen beside others (no source).
const HEADED: f64 = 4.0 / 3.0;
/// Halvings of the interval in which the stretch of a line is sought: below any visible width.
const HALVINGS: usize = 60;
/// The greatest stretch that is tried.
const MOST_STRETCH: f64 = 1e4;
/// A width that counts as none.
const NOTHING: f64 = 1e-6;

/// Bars on one line and how they are set.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SetLine {
    /// First bar.
    pub from: usize,
    /// One past the last bar.
    pub to: usize,
    /// Factor on the ideal gaps.
    pub stretch: f64,
    /// It fits only where equal notes may be uneven.
    pub tight: bool,
    /// Room at its end for the time signature of the bar after it, where that changes.
    pub warning: f64,
    /// Factor on everything, under 1 only where a single bar is wider than the line.
    pub scale: f64,
    /// It has fewer bars than the text asks for, since so many do not fit.
    pub cut: bool,
}

/// Breaks bars into lines, which hold all of them in order.
pub fn break_lines(bars: &[SpacedBar], widths: &LineWidths) -> Vec<SetLine> {
    let mut lines = Vec::new();
    let mut from = 0;
    let mut stretch = 0.0;
    for to in breaks(bars, widths) {
        let typical = if lines.is_empty() { 1.0 } else { stretch / lines.len() as f64 };
        let Some(line) = set_line(bars, widths, (from, to), typical) else { continue };
        stretch += line.stretch;
        lines.push(line);
        from = to;
    }
    lines
}

/// Sets the bars from one index up to another; a line that ends short is stretched no more than
/// those before it are on an average, the `typical` one, and the first as what stands over it asks.
fn set_line(
    bars: &[SpacedBar],
    widths: &LineWidths,
    (from, to): (usize, usize),
    typical: f64,
) -> Option<SetLine> {
    let set = bars.get(from..to)?;
    let first = set.first()?;
    let warning = warning(bars, to);
    let (room, lead) = (widths.room(first, warning), widths.lead_of(first));
    let tight = set.iter().map(|bar| bar.width(0.0, false)).sum::<f64>() > room;
    let width = |factor: f64| set.iter().map(|bar| bar.width(factor, tight)).sum::<f64>();
    let full = solve(width, room);
    let nearly = if to == bars.len() { widths.nearly } else { ASKED_FULL };
    let short = ends_short(bars, to) && width(typical) < room * nearly;
    let stretch = match short {
        true if from == 0 => full.min(under_head(width, room - widths.line + widths.headed)),
        true => full.min(typical),
        false => full,
    };
    let stretch = if widths.shrinks { stretch.max(widths.limits.0) } else { stretch };
    let width = width(stretch);
    let scale = match width > room + NOTHING {
        true => widths.line / (width + lead + warning),
        false => 1.0,
    };
    let cut = widths.forced.is_some_and(|count| to - from < count) && !ends_short(bars, to);
    Some(SetLine { from, to, stretch, tight, warning, scale, cut })
}

/// How far a first line is stretched that ends short, so that its tempo, which stands over its end, does not reach beyond
/// it; its ideal where it would be stretched too far.
fn under_head(width: impl Fn(f64) -> f64, head: f64) -> f64 {
    if width(1.0) < head && head <= width(HEADED) { solve(width, head) } else { 1.0 }
}

/// The factor on ideal gaps that makes a width fill the room; as small as ink allows where it
/// cannot.
fn solve(width: impl Fn(f64) -> f64, room: f64) -> f64 {
    let (mut low, mut high) = (0.0, 1.0);
    while width(high) < room && high < MOST_STRETCH {
        high *= 2.0;
    }
    for _ in 0..HALVINGS {
        let middle = (low + high) / 2.0;
        if width(middle) > room { high = middle } else { low = middle }
    }
    low
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_first_line_ends_with_its_tempo_where_that_is_near() {
        let width = |factor: f64| 6.0 + 10.0 * factor;
        let near = under_head(width, 18.0);
        assert!((width(near) - 18.0).abs() < 1e-9, "{near}");
        assert_eq!(under_head(width, 15.0), 1.0, "it is wide enough");
        assert_eq!(under_head(width, 20.0), 1.0, "its notes would stand too far apart");
    }
}
