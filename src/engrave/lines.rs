//! Bars to lines, for least total badness over the whole block (Knuth and Plass 1981, with bars in
//! the place of words). A bar is never split.

use super::abbreviation::Shown;
use super::measured::{LineBreak, SpacedBar};
use crate::score::Bar;
use crate::score::{Closing, MarkKind};

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
}

/// How wide the lines of a block are.
#[derive(Clone, Copy, Debug)]
pub struct LineWidths {
    /// From margin to margin.
    pub line: f64,
    /// What a line begins with that has a time signature: its clef.
    pub lead: f64,
    /// What other lines begin with: the clef, and the room a time signature would take.
    pub later_lead: f64,
    /// What a line needs besides for a tie that comes from the line before.
    pub tied: f64,
    /// The narrowest and the widest a line may be set against its ideal.
    pub limits: (f64, f64),
    /// Bars on a line, where asked.
    pub forced: Option<usize>,
    /// A line that would be tighter than the narrowest is set smaller instead.
    pub shrinks: bool,
    /// A short last line that fills at least so much of the width is set to the full width.
    pub nearly: f64,
}

/// How much of the width of a page a last line fills that is set to all of it.
pub const NEARLY_FULL: f64 = 0.85;
/// The same for a column of a grid.
pub const COLUMN_FULL: f64 = 0.6;

/// The same for a line before one that the text asks for.
const ASKED_FULL: f64 = 0.5;

/// How much worse a last line is the shorter it is, against a line that is stretched as far.
const SHORT_LAST_LINE: f64 = 0.08;

impl LineWidths {
    fn lead_of(&self, first: &SpacedBar) -> f64 {
        let tied = if first.tied_in { self.tied } else { 0.0 };
        tied + if first.opening.time { self.lead } else { self.later_lead }
    }

    fn room(&self, first: &SpacedBar, warning: f64) -> f64 {
        (self.line - self.lead_of(first) - warning).max(1.0)
    }
}

/// How much better a line is that begins at a good place.
const GOOD_PLACE: f64 = 0.015;

/// How much worse a line is that begins with a repeat sign, whose bar stands on the line before.
const ORPHAN: f64 = 0.3;

/// Whether a line may begin with a bar: as the text wishes; else section letters, and what follows a
/// double barline or the end of a repeat, are good places.
pub fn wish(bar: &Bar, before: Option<&Bar>, shown: Shown) -> LineBreak {
    let asked = |asked| bar.marks.iter().any(|mark| mark.kind == MarkKind::NewLine { asked });
    let section = || bar.marks.iter().any(|mark| matches!(mark.kind, MarkKind::Section(_)));
    if shown.goes_on() {
        LineBreak::Never
    } else if asked(true) {
        LineBreak::Asked
    } else if asked(false)
        || section()
        || bar.repeat_start
        || before.is_some_and(|before| before.closing != Closing::Single)
    {
        LineBreak::Good
    } else {
        LineBreak::Free
    }
}

/// Room at the end of a line for the time signature of the bar after it.
fn warning(bars: &[SpacedBar], to: usize) -> f64 {
    bars.get(to).map_or(0.0, |next| next.warning)
}

/// A line that ends a block, or ends where the text asks for it, need not fill the width.
fn ends_short(bars: &[SpacedBar], to: usize) -> bool {
    bars.get(to).is_none_or(|next| next.line_break == LineBreak::Asked)
}

/// Ends of lines of so many bars each; the count begins anew where the text asks for a line, and a
/// sign that stands for several bars stays whole.
fn counted_breaks(bars: &[SpacedBar], count: usize) -> Vec<usize> {
    let mut breaks = Vec::new();
    let mut on_line = 0;
    for (index, bar) in bars.iter().enumerate() {
        let full = on_line >= count && bar.line_break != LineBreak::Never;
        if index > 0 && (full || bar.line_break == LineBreak::Asked) {
            breaks.push(index);
            on_line = 0;
        }
        on_line += 1;
    }
    breaks.push(bars.len());
    breaks
}

/// Breaks bars into lines.
pub fn break_lines(bars: &[SpacedBar], widths: &LineWidths) -> Vec<SetLine> {
    let breaks = match widths.forced {
        Some(count) => counted_breaks(bars, count.max(1)),
        None => best_breaks(bars, widths),
    };
    let mut lines = Vec::new();
    let mut from = 0;
    let mut stretches = Vec::new();
    for to in breaks {
        let Some(set) = bars.get(from..to).filter(|set| !set.is_empty()) else { continue };
        let warning = warning(bars, to);
        let Some(first) = set.first() else { continue };
        let (room, lead) = (widths.room(first, warning), widths.lead_of(first));
        let tight = set.iter().map(|bar| bar.width(0.0, false)).sum::<f64>() > room;
        let full = solve(set, room, tight);
        let last = ends_short(bars, to);
        let nearly = if to == bars.len() { widths.nearly } else { ASKED_FULL };
        let typical = match stretches.len() {
            0 => 1.0,
            n => stretches.iter().sum::<f64>() / n as f64,
        };
        let natural: f64 = set.iter().map(|bar| bar.width(typical, tight)).sum();
        let short = last && natural < room * nearly;
        let stretch = if short { full.min(typical) } else { full };
        let stretch = if widths.shrinks { stretch.max(widths.limits.0) } else { stretch };
        stretches.push(stretch);
        let width: f64 = set.iter().map(|bar| bar.width(stretch, tight)).sum();
        let scale = match width > room + 1e-6 {
            true => widths.line / (width + lead + warning),
            false => 1.0,
        };
        lines.push(SetLine { from, to, stretch, tight, warning, scale });
        from = to;
    }
    lines
}

/// Ends of lines with the least total badness.
fn best_breaks(bars: &[SpacedBar], widths: &LineWidths) -> Vec<usize> {
    let (tightest, loosest) = widths.limits;
    let count = bars.len();
    let ideals: Vec<f64> = bars.iter().map(SpacedBar::ideal).collect();
    let least: Vec<f64> = bars.iter().map(|bar| bar.width(tightest, false)).collect();
    let mut best: Vec<(f64, usize)> = vec![(f64::INFINITY, 0); count + 1];
    if let Some(start) = best.first_mut() {
        *start = (0.0, 0);
    }
    for to in 1..=count {
        let (mut ideal, mut min) = (0.0, 0.0);
        for from in (0..to).rev() {
            ideal += ideals[from];
            min += least[from];
            let room = widths.room(&bars[from], warning(bars, to));
            if min > room && to - from > 1 && best[to].0.is_finite() {
                break;
            }
            let line_break = bars[from].line_break;
            if from > 0 && line_break == LineBreak::Never {
                continue;
            }
            let ratio = room / ideal;
            let last = ends_short(bars, to);
            let badness = if last && ratio > 1.0 {
                ratio.ln().powi(2) * SHORT_LAST_LINE
            } else {
                let over = (ratio / loosest).max(1.0).ln();
                ratio.ln().powi(2) + over * over * 4.0
            };
            let orphan =
                if from > 0 && matches!(bars[from].shown, Shown::Again(_)) { ORPHAN } else { 0.0 };
            let wish = if from > 0 && line_break == LineBreak::Good { GOOD_PLACE } else { 0.0 };
            let cost = best[from].0 + badness + orphan + 0.02 - wish;
            if cost < best[to].0 {
                best[to] = (cost, from);
            }
            if line_break == LineBreak::Asked {
                break;
            }
        }
    }
    let mut ends = Vec::new();
    let mut at = count;
    while at > 0 {
        ends.push(at);
        at = best[at].1.min(at - 1);
    }
    ends.reverse();
    ends
}

/// The factor on ideal gaps that makes bars fill a width; as small as ink allows where they
/// cannot.
fn solve(bars: &[SpacedBar], room: f64, tight: bool) -> f64 {
    let width = |factor: f64| bars.iter().map(|bar| bar.width(factor, tight)).sum::<f64>();
    let (mut low, mut high) = (0.0, 1.0);
    while width(high) < room && high < 1e4 {
        high *= 2.0;
    }
    for _ in 0..60 {
        let middle = (low + high) / 2.0;
        if width(middle) > room { high = middle } else { low = middle }
    }
    low
}
