//! Musical time in seconds: tempo, its changes, metric modulation, and swing.

use crate::score::settings::{Swing, Tempo};
use crate::score::{Bar, Block, MarkKind, Time};

/// Quarters a minute where a block says no tempo: what a Standard MIDI File without a tempo is
/// played at (MIDI Manufacturers Association, *Standard MIDI Files 1.0*, from memory).
const UNSAID: f64 = 120.0;

/// A stretch of a bar in one tempo and feel.
#[derive(Clone, Copy, Debug)]
struct TempoStretch {
    /// Its start in the bar.
    from: Time,
    /// The second it starts at.
    seconds: f64,
    /// Seconds of a whole note.
    whole: f64,
    swing: Option<Swing>,
}

/// Goes through the bars of a block as they are played.
pub(super) struct Clock {
    now: TempoStretch,
}

/// One playing of a bar in seconds.
pub(super) struct BarClock {
    stretches: Vec<TempoStretch>,
}

fn whole(tempo: &Tempo) -> f64 {
    60.0 / (tempo.per_minute * tempo.unit.as_f64()).max(f64::EPSILON)
}

impl Clock {
    /// Starts at second zero in the tempo of a block.
    pub(super) fn new(block: &Block) -> Self {
        let whole = block.settings.tempo.as_ref().map_or(240.0 / UNSAID, whole);
        let swing = block.settings.swing;
        Self { now: TempoStretch { from: Time::ZERO, seconds: 0.0, whole, swing } }
    }

    /// Takes the next bar.
    pub(super) fn bar(&mut self, bar: &Bar) -> BarClock {
        let mut stretches = vec![self.now];
        for mark in &bar.marks {
            let Some(next) = self.now.changed(&mark.kind) else { continue };
            let seconds = self.now.seconds(mark.at);
            self.now = TempoStretch { from: mark.at, seconds, ..next };
            stretches.push(self.now);
        }
        let seconds = self.now.seconds(bar.length);
        self.now = TempoStretch { from: Time::ZERO, seconds, ..self.now };
        BarClock { stretches }
    }
}

impl TempoStretch {
    /// The stretch after a mark; nothing where the mark changes neither tempo nor feel.
    fn changed(self, mark: &MarkKind) -> Option<Self> {
        match mark {
            MarkKind::Tempo(tempo) => Some(Self { whole: whole(tempo), ..self }),
            MarkKind::Swing(swing) => Some(Self { swing: Some(*swing), ..self }),
            MarkKind::Straight => Some(Self { swing: None, ..self }),
            MarkKind::Modulation { was, now } => {
                // What lasted as long as the one value lasts as long as the other.
                let ratio = was.as_f64() / now.as_f64().max(f64::EPSILON);
                Some(Self { whole: self.whole * ratio, ..self })
            }
            MarkKind::Section(_)
            | MarkKind::Ending(_)
            | MarkKind::Segno
            | MarkKind::Coda
            | MarkKind::Direction(_)
            | MarkKind::Fermata
            | MarkKind::Words(_)
            | MarkKind::Number(_)
            | MarkKind::NewLine { .. }
            | MarkKind::Phrase(_)
            | MarkKind::EndPhrase
            | MarkKind::NewPage
            | MarkKind::Turn
            | MarkKind::Breath
            | MarkKind::Caesura => None,
        }
    }

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

impl BarClock {
    /// The second a time of the bar sounds at.
    pub(super) fn at(&self, at: Time) -> f64 {
        let next = self.stretches.partition_point(|s| s.from <= at);
        let stretch = self.stretches.get(next.saturating_sub(1));
        stretch.map_or(0.0, |s| s.seconds(at))
    }
}
