//! Written time in seconds: tempo, its changes, and swing.

use crate::score::Time;
use crate::score::settings::{Swing, Tempo};
use crate::score::{Bar, Block, Closing, Hit, MarkKind};

/// Seconds between what a double barline sets apart, as one exercise of a series from the next: each
/// is played by itself.
const APART: f64 = 60.0;

/// A stretch in one tempo and feel.
#[derive(Clone, Copy, Debug)]
struct Stretch {
    from: Time,
    seconds: f64,
    /// Seconds of a whole note.
    whole: f64,
    swing: Option<Swing>,
}

/// Goes through the bars of a block.
pub(crate) struct Clock {
    now: Stretch,
}

/// The time of one bar.
pub(crate) struct BarTime {
    stretches: Vec<Stretch>,
    beats: Vec<Time>,
}

fn whole(tempo: &Tempo) -> f64 {
    60.0 / (tempo.per_minute * tempo.unit.as_f64()).max(f64::EPSILON)
}

impl Clock {
    /// Starts at the block's first bar; nothing where no tempo is said.
    pub(crate) fn new(block: &Block) -> Option<Self> {
        let tempo = block.settings.tempo.as_ref()?;
        let now = Stretch {
            from: Time::ZERO,
            seconds: 0.0,
            whole: whole(tempo),
            swing: block.settings.swing,
        };
        Some(Self { now })
    }

    /// Takes the next bar.
    pub(crate) fn bar(&mut self, bar: &Bar) -> BarTime {
        let mut stretches = vec![self.now];
        for mark in &bar.marks {
            let mut next = self.now;
            match &mark.kind {
                MarkKind::Tempo(tempo) => next.whole = whole(tempo),
                MarkKind::Swing(swing) => next.swing = Some(*swing),
                MarkKind::Straight => next.swing = None,
                _ => continue,
            }
            next.seconds = self.now.seconds(mark.at);
            next.from = mark.at;
            stretches.push(next);
            self.now = next;
        }
        let mut seconds = self.now.seconds(bar.length);
        if bar.closing == Closing::Double {
            seconds += APART;
        }
        self.now = Stretch { from: Time::ZERO, seconds, ..self.now };
        let mut at = Time::ZERO - bar.offset;
        let beats = bar.meter.beats().into_iter().map(|beat| {
            at += beat;
            at
        });
        BarTime { stretches, beats: beats.collect() }
    }
}

impl Stretch {
    /// The second a time of the bar sounds at.
    fn seconds(&self, at: Time) -> f64 {
        self.seconds + (self.swung(at) - self.swung(self.from)) * self.whole
    }

    /// Where a written time lies when it is swung, in whole notes: the first of two even notes is
    /// longer than the second.
    fn swung(&self, at: Time) -> f64 {
        let Some(swing) = self.swing else { return at.as_f64() };
        let pair = swing.unit * 2;
        let number = at.ratio(pair).floor().to_integer();
        let into = (at - pair * number).as_f64() / pair.as_f64().max(f64::EPSILON);
        let long = f64::from(swing.long) / f64::from((swing.long + swing.short).max(1));
        let bent =
            if into < 0.5 { into * 2.0 * long } else { long + (into - 0.5) * 2.0 * (1.0 - long) };
        (pair * number).as_f64() + bent * pair.as_f64()
    }
}

impl BarTime {
    /// The second a time of the bar sounds at, from the start of the block.
    pub(crate) fn at(&self, at: Time) -> f64 {
        let next = self.stretches.partition_point(|s| s.from <= at);
        let stretch = self.stretches.get(next.saturating_sub(1));
        stretch.map_or(0.0, |s| s.seconds(at))
    }

    /// Where a hit ends: where it is held to, else at the next hit or the end of its beat.
    pub(crate) fn end(&self, bar: &Bar, hit: &Hit, apart: bool) -> Time {
        if let Some(until) = hit.until {
            return until;
        }
        let beat = self.beats.iter().copied().find(|end| *end > hit.at).unwrap_or(bar.length);
        let voices = [&bar.upper, &bar.lower];
        let next = voices.iter().take(if apart { 1 } else { 2 }).filter_map(|voice| {
            let index = voice.hits.partition_point(|h| h.at <= hit.at);
            voice.hits.get(index).map(|h| h.at)
        });
        next.min().map_or(beat, |next| next.min(beat))
    }
}
