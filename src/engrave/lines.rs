//! Bars to lines, for least total badness over the whole block (Knuth and Plass 1981, with bars in
//! the place of words). A bar is never split.

use super::measured::Measured;

/// Bars on one line and how they are set.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    /// First bar.
    pub from: usize,
    /// One past the last bar.
    pub to: usize,
    /// Factor on the ideal gaps.
    pub stretch: f64,
    /// Factor on everything, under 1 only where a single bar is wider than the line.
    pub scale: f64,
}

/// How wide the lines of a block are.
#[derive(Clone, Copy, Debug)]
pub struct Widths {
    /// From margin to margin.
    pub line: f64,
    /// What the first line begins with: its clef.
    pub lead: f64,
    /// What later lines begin with: the clef, and the room a time signature would take.
    pub later_lead: f64,
    /// The narrowest and the widest a line may be set against its ideal.
    pub limits: (f64, f64),
    /// Bars on a line, where asked.
    pub forced: Option<usize>,
}

/// A short last line that fills at least so much of the width is set to the full width.
const NEARLY_FULL: f64 = 0.85;

/// How much worse a last line is the shorter it is, against a line that is stretched as far.
const SHORT_LAST_LINE: f64 = 0.08;

impl Widths {
    fn lead_of(&self, from: usize) -> f64 {
        if from == 0 { self.lead } else { self.later_lead }
    }

    fn room(&self, from: usize) -> f64 {
        (self.line - self.lead_of(from)).max(1.0)
    }
}

/// Breaks bars into lines.
pub fn break_lines(bars: &[Measured], widths: &Widths) -> Vec<Line> {
    let breaks = match widths.forced {
        Some(count) => (0..bars.len()).step_by(count.max(1)).skip(1).chain([bars.len()]).collect(),
        None => best_breaks(bars, widths),
    };
    let mut lines = Vec::new();
    let mut from = 0;
    let mut stretches = Vec::new();
    for to in breaks {
        let Some(set) = bars.get(from..to).filter(|set| !set.is_empty()) else { continue };
        let (room, lead) = (widths.room(from), widths.lead_of(from));
        let full = solve(set, room);
        let last = to == bars.len();
        let typical = match stretches.len() {
            0 => 1.0,
            n => stretches.iter().sum::<f64>() / n as f64,
        };
        let natural: f64 = set.iter().map(|bar| bar.width(typical)).sum();
        let short = last && natural < room * NEARLY_FULL;
        let stretch = if short { full.min(typical) } else { full };
        stretches.push(stretch);
        let width: f64 = set.iter().map(|bar| bar.width(stretch)).sum();
        let scale = if width > room + 1e-6 { widths.line / (width + lead) } else { 1.0 };
        lines.push(Line { from, to, stretch, scale });
        from = to;
    }
    lines
}

/// Ends of lines with the least total badness.
fn best_breaks(bars: &[Measured], widths: &Widths) -> Vec<usize> {
    let (tightest, loosest) = widths.limits;
    let count = bars.len();
    let ideals: Vec<f64> = bars.iter().map(Measured::ideal).collect();
    let least: Vec<f64> = bars.iter().map(|bar| bar.width(tightest)).collect();
    let mut best: Vec<(f64, usize)> = vec![(f64::INFINITY, 0); count + 1];
    if let Some(start) = best.first_mut() {
        *start = (0.0, 0);
    }
    for to in 1..=count {
        let (mut ideal, mut min) = (0.0, 0.0);
        for from in (0..to).rev() {
            ideal += ideals[from];
            min += least[from];
            let room = widths.room(from);
            if min > room && to - from > 1 {
                break;
            }
            let ratio = room / ideal;
            let last = to == count;
            let badness = if last && ratio > 1.0 {
                ratio.ln().powi(2) * SHORT_LAST_LINE
            } else {
                let over = (ratio / loosest).max(1.0).ln();
                ratio.ln().powi(2) + over * over * 4.0
            };
            let cost = best[from].0 + badness + 0.02;
            if cost < best[to].0 {
                best[to] = (cost, from);
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
fn solve(bars: &[Measured], room: f64) -> f64 {
    let width = |factor: f64| bars.iter().map(|bar| bar.width(factor)).sum::<f64>();
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
