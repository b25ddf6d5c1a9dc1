//! Passages that are faster than a limb.

use super::found::Found;
use crate::perform::codes;
use crate::source::Span;

/// One stroke of a limb.
#[derive(Clone, Copy, Debug)]
pub(crate) struct LimbStroke {
    /// When, from the start of the block.
    pub(crate) seconds: f64,
    pub(crate) span: Span,
    /// The bar, from 1.
    pub(crate) bar: usize,
    /// It belongs to the note after it, and falls from a low stick.
    pub(crate) grace: bool,
}

/// Gaps that must be too short one after another before a limb can't keep up. Common practice, no
/// source.
const LASTING: usize = 4;
/// Gaps of four strokes, which a rebound does not carry a limb through. Common practice, no source.
const BURST: usize = 3;
/// What a rate may be over the limit, so that a tempo that comes out even is let pass.
const TOLERANCE: f64 = 1.001;

/// The first stretch of strokes that is too fast, and how many more there are.
#[derive(Clone, Debug)]
pub(crate) struct Passage {
    span: Span,
    bars: (usize, usize),
    /// Strokes a second of one limb, where it is fastest.
    rate: f64,
    /// Two strokes that come faster than a rebound.
    pair: bool,
    more: usize,
}

/// How far strokes may be faster than a limb can keep up.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Pace {
    /// How many limbs share them.
    pub(crate) limbs: usize,
    /// By how much two of one limb may.
    pub(crate) rebound: f64,
    /// By how much four may.
    pub(crate) burst: f64,
}

/// Where strokes are faster than each limb can keep up, four of them faster than a burst of it, or a pair
/// faster than its rebound.
pub(crate) fn fastest(strokes: &[LimbStroke], limit: f64, pace: Pace) -> Option<Passage> {
    let Pace { limbs, rebound, burst } = pace;
    let mut passages: Vec<(usize, usize, f64, bool)> = Vec::new();
    let mut add = |from: usize, to: usize, rate: f64, pair: bool| match passages.last_mut() {
        Some(last) if from <= last.1 => {
            last.1 = last.1.max(to);
            // What lasts says more than a pair in it.
            if last.3 == pair {
                last.2 = last.2.max(rate);
            } else if !pair {
                (last.2, last.3) = (rate, false);
            }
        }
        _ => passages.push((from, to, rate, pair)),
    };
    let window = LASTING * limbs;
    for from in 0..strokes.len() {
        let gap = |to: usize| Some(strokes.get(to)?.seconds - strokes.get(from)?.seconds);
        if let Some(seconds) = gap(from + window) {
            let rate = LASTING as f64 / seconds.max(1e-6);
            if rate > limit * TOLERANCE {
                add(from, from + window, rate, false);
                continue;
            }
        }
        if let Some(seconds) = gap(from + BURST * limbs) {
            let rate = BURST as f64 / seconds.max(1e-6);
            if rate > limit * burst * TOLERANCE {
                add(from, from + BURST * limbs, rate, false);
                continue;
            }
        }
        if let Some(seconds) = gap(from + 1) {
            let rate = 1.0 / seconds.max(1e-6);
            let plain = !strokes[from].grace && !strokes[from + 1].grace;
            if plain && rate > limit * rebound * TOLERANCE {
                add(from, from + 1, rate, true);
            }
        }
    }
    let (from, to, rate, pair) = passages.first().copied()?;
    let own = strokes.get(from..=to)?;
    let (first, last) = (own.first()?, own.last()?);
    // Cells stand in several rows; what is marked goes on from the first of them.
    let span = own.iter().map(|s| s.span).filter(|s| s.start() >= first.span.start());
    let span = span.reduce(Span::join).unwrap_or(first.span);
    Some(Passage { span, bars: (first.bar, last.bar), rate, pair, more: passages.len() - 1 })
}

impl Passage {
    /// Whether two limbs have their passages at the same place.
    pub(crate) fn meets(&self, other: &Self) -> bool {
        self.bars.0 <= other.bars.1 && other.bars.0 <= self.bars.1 && self.pair == other.pair
    }

    /// The faster of two, over the place of both.
    pub(crate) fn faster(self, other: Self) -> Self {
        Self {
            span: self.span.join(other.span),
            bars: (self.bars.0.min(other.bars.0), self.bars.1.max(other.bars.1)),
            rate: self.rate.max(other.rate),
            pair: self.pair,
            more: self.more.max(other.more),
        }
    }

    pub(super) fn told(
        self,
        limb: &str,
        (limit, key): (f64, &str),
        many: bool,
        mend: &str,
    ) -> Found {
        let place = match self.bars {
            _ if !many => String::new(),
            (first, last) if first == last => format!("bar {first}: "),
            (first, last) => format!("bars {first} to {last}: "),
        };
        let more = match self.more {
            0 => "",
            1 => ", and once more further on",
            _ => ", and again further on",
        };
        let message = if self.pair {
            format!(
                "{place}two strokes of {limb} follow each other within {:.0} thousandths of a second, too fast even for a rebound{more}",
                1000.0 / self.rate
            )
        } else {
            format!(
                "{place}{limb} has to strike {:.1} times a second{more}; `{key}` is {limit}",
                self.rate
            )
        };
        Found { code: codes::TOO_FAST, span: self.span, message, mend: mend.to_owned() }
    }
}
