//! Where lines of bars end, for least total badness over the whole block (Knuth and Plass 1981,
//! with bars in the place of words).

use super::bar::SpacedBar;
use super::line_start::LineBreak;
use super::widths::LineWidths;
use crate::engrave::notate::shown::Shown;

/// How much worse a last line is the shorter it is, against a line that is stretched as far (no
/// source).
const SHORT_LAST_LINE: f64 = 0.08;
/// How much better a line is that begins at a good place (no source).
const GOOD_PLACE: f64 = 0.015;
/// How much worse a line is that begins with a repeat sign, whose bar stands on the line before (no
/// source).
const ORPHAN: f64 = 0.3;
/// What each line costs, so that of two ways alike the one of fewer lines is taken (no source).
const LINE_COST: f64 = 0.02;
/// Weight of what lies beyond the widest a line may be set (no source).
const TOO_LOOSE: f64 = 4.0;

/// Room at the end of a line for the time signature of the bar after it.
pub fn warning(bars: &[SpacedBar], to: usize) -> f64 {
    bars.get(to).map_or(0.0, |next| next.line_start.warning)
}

/// A line that ends a block, or ends where the text asks for it, need not fill the width.
pub fn ends_short(bars: &[SpacedBar], to: usize) -> bool {
    bars.get(to).is_none_or(|next| next.line_start.line_break == LineBreak::Asked)
}

/// Ends of the lines of a block.
pub fn breaks(bars: &[SpacedBar], widths: &LineWidths) -> Vec<usize> {
    match widths.forced {
        Some(count) => counted_breaks(bars, count.max(1), widths),
        None => best_breaks(bars, widths),
    }
}

/// Ends of lines of so many bars each, and of fewer where so many do not fit; the count begins anew
/// where the text asks for a line, and a sign that stands for several bars stays whole.
fn counted_breaks(bars: &[SpacedBar], count: usize, widths: &LineWidths) -> Vec<usize> {
    let mut breaks = Vec::new();
    let mut from = 0;
    let mut least = 0.0;
    for (index, bar) in bars.iter().enumerate() {
        let own = bar.width(0.0, true);
        let room = bars.get(from).map_or(0.0, |first| widths.room(first, warning(bars, index + 1)));
        let wide = !widths.shrinks && least + own > room;
        let full = index - from >= count + usize::from(from == 0 && widths.pickup) || wide;
        let breaks_here = full && bar.line_start.line_break != LineBreak::Never;
        if index > from && (breaks_here || bar.line_start.line_break == LineBreak::Asked) {
            breaks.push(index);
            (from, least) = (index, 0.0);
        }
        least += own;
    }
    breaks.push(bars.len());
    breaks
}

/// Ends of lines with the least total badness.
fn best_breaks(bars: &[SpacedBar], widths: &LineWidths) -> Vec<usize> {
    let tightest = widths.limits.0;
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
            let line_break = bars[from].line_start.line_break;
            if from > 0 && line_break == LineBreak::Never {
                continue;
            }
            let fill = badness(room / ideal, ends_short(bars, to), widths);
            let start = if from > 0 { start_badness(&bars[from]) } else { (0.0, 0.0) };
            let cost = best[from].0 + fill + start.0 + LINE_COST - start.1;
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

/// What is bad about a line that has so many times its ideal width, and need not fill it where it
/// `ends_short`.
fn badness(ratio: f64, ends_short: bool, widths: &LineWidths) -> f64 {
    if ends_short && ratio > 1.0 {
        return ratio.ln().powi(2) * SHORT_LAST_LINE;
    }
    let over = (ratio / widths.limits.1).max(1.0).ln();
    ratio.ln().powi(2) + over * over * TOO_LOOSE
}

/// What is bad and what is good about a line that begins with a bar.
fn start_badness(first: &SpacedBar) -> (f64, f64) {
    let bad = match first.shown {
        Shown::Again(_) => ORPHAN,
        Shown::Notes | Shown::Rest { .. } => 0.0,
    };
    let good = match first.line_start.line_break {
        LineBreak::Good => GOOD_PLACE,
        LineBreak::Free | LineBreak::Asked | LineBreak::Never => 0.0,
    };
    (bad, good)
}
