//! Musical time in seconds: tempo, its changes at once and gradual, metric modulation, fermatas, and
//! swing.

use super::order::Played;
use super::pace::Pace;
use crate::score::mark::TempoChange;
use crate::score::settings::{Swing, Tempo};
use crate::score::{Bar, Block, MarkKind, Time};

/// Quarters a minute where a block says no tempo: what a Standard MIDI File without a tempo is
/// played at (MIDI Manufacturers Association, *Standard MIDI Files 1.0*, from memory).
const UNSAID: f64 = 120.0;
/// The tempo that a ritardando and an accelerando reach where none is written after them, as a factor
/// on the one before. Common practice, no source.
const RITARDANDO: f64 = 3.0 / 4.0;
const ACCELERANDO: f64 = 4.0 / 3.0;
/// How many times its length a note under a fermata lasts. Common practice, no source.
const FERMATA: f64 = 2.0;

/// A stretch of a bar in one pace and feel.
#[derive(Clone, Copy, Debug)]
struct TempoStretch {
    /// Its start in the bar.
    from: Time,
    /// The second it starts at.
    seconds: f64,
    pace: Pace,
    /// How much longer all lasts, under a fermata.
    held: f64,
    swing: Option<Swing>,
}

/// A mark that says a tempo, in the order of playing.
struct TempoTurn<'a> {
    /// Written time from the start of what is played.
    at: Time,
    kind: &'a MarkKind,
}

/// What changes inside a bar.
enum Change<'a> {
    Mark(&'a MarkKind),
    /// The note under a fermata ends.
    HeldEnd,
}

/// Goes through the bars of a block as they are played.
pub(super) struct Clock<'a> {
    now: TempoStretch,
    /// The written tempo in force, in seconds of a whole note: what `a tempo` leads back to.
    home: f64,
    turns: Vec<TempoTurn<'a>>,
    /// The first of the turns that is still to come.
    next: usize,
    /// Written time that was played.
    played: Time,
    /// All of it.
    end: Time,
}

/// One playing of a bar in seconds.
pub(super) struct BarClock {
    stretches: Vec<TempoStretch>,
}

fn whole(tempo: &Tempo) -> f64 {
    60.0 / (tempo.per_minute * tempo.unit.as_f64()).max(f64::EPSILON)
}

impl<'a> Clock<'a> {
    /// Starts at second zero in the tempo of a block whose bars are played in an order.
    pub(super) fn new(block: &'a Block, order: &[Played]) -> Self {
        let home = block.settings.tempo.as_ref().map_or(240.0 / UNSAID, whole);
        let mut turns = Vec::new();
        let mut end = Time::ZERO;
        for bar in order.iter().filter_map(|played| block.part.bars.get(played.bar)) {
            let own = bar.marks.iter().filter(|mark| mark.kind.says_tempo());
            turns.extend(own.map(|mark| TempoTurn { at: end + mark.at, kind: &mark.kind }));
            end += bar.length;
        }
        let now = TempoStretch {
            from: Time::ZERO,
            seconds: 0.0,
            pace: Pace::Even(home),
            held: 1.0,
            swing: block.settings.swing,
        };
        Self { now, home, turns, next: 0, played: Time::ZERO, end }
    }

    /// Takes the next bar.
    pub(super) fn bar(&mut self, bar: &Bar) -> BarClock {
        let mut stretches = vec![self.now];
        for (at, change) in changes(bar) {
            self.now = self.now.moved_to(at);
            match change {
                Change::Mark(kind) => self.take(kind),
                Change::HeldEnd => self.now.held = 1.0,
            }
            stretches.push(self.now);
        }
        self.now = TempoStretch { from: Time::ZERO, held: 1.0, ..self.now.moved_to(bar.length) };
        self.played += bar.length;
        BarClock { stretches }
    }

    /// Takes a mark at the start of the present stretch.
    fn take(&mut self, mark: &MarkKind) {
        match mark {
            MarkKind::Tempo(tempo) => self.set_tempo(whole(tempo)),
            MarkKind::Modulation { was, now } => {
                // What lasted as long as the one value lasts as long as the other.
                let ratio = was.as_f64() / now.as_f64().max(f64::EPSILON);
                self.set_tempo(self.now.pace.whole() * ratio);
            }
            MarkKind::ATempo => self.set_tempo(self.home),
            MarkKind::Gradual(change) => {
                let from = self.now.pace.whole();
                let turn = self.turns.get(self.next + 1);
                let start = self.turns.get(self.next).map_or(self.played, |turn| turn.at);
                let until = turn.map_or(self.end, |turn| turn.at);
                let to = reached(*change, from, turn.map(|turn| turn.kind));
                self.now.pace = Pace::ramp(from, to, (until - start).as_f64());
            }
            MarkKind::Swing(swing) => self.now.swing = Some(*swing),
            MarkKind::Straight => self.now.swing = None,
            MarkKind::Fermata => self.now.held = FERMATA,
            MarkKind::Section(_)
            | MarkKind::Ending(_)
            | MarkKind::Segno
            | MarkKind::Coda
            | MarkKind::Direction(_)
            | MarkKind::Words(_)
            | MarkKind::Number(_)
            | MarkKind::NewLine { .. }
            | MarkKind::Phrase(_)
            | MarkKind::EndPhrase
            | MarkKind::NewPage
            | MarkKind::Turn
            | MarkKind::Breath
            | MarkKind::Caesura => {}
        }
        self.next += usize::from(mark.says_tempo());
    }

    fn set_tempo(&mut self, whole: f64) {
        self.home = whole;
        self.now.pace = Pace::Even(whole);
    }
}

/// The tempo that a gradual change leads to, in seconds of a whole note: the one that is written next, where
/// it lies in the same direction, else a share of the one before.
fn reached(change: TempoChange, from: f64, next: Option<&MarkKind>) -> f64 {
    let written = match next {
        Some(MarkKind::Tempo(tempo)) => Some(whole(tempo)),
        Some(_) | None => None,
    };
    match change {
        TempoChange::Slower => written.filter(|to| *to > from).unwrap_or(from / RITARDANDO),
        TempoChange::Faster => written.filter(|to| *to < from).unwrap_or(from / ACCELERANDO),
    }
}

/// What changes tempo or feel in a bar, in order.
fn changes(bar: &Bar) -> Vec<(Time, Change<'_>)> {
    let mut changes: Vec<(Time, Change<'_>)> = Vec::new();
    for mark in &bar.marks {
        changes.push((mark.at, Change::Mark(&mark.kind)));
        if mark.kind == MarkKind::Fermata {
            changes.push((held_end(bar, mark.at), Change::HeldEnd));
        }
    }
    changes.sort_by_key(|(at, _)| *at);
    changes
}

/// When the note or rest under a fermata ends: with the next note of any voice, at the latest with what
/// sounds the longest. A note that goes on over the barline is lengthened in its own bar.
fn held_end(bar: &Bar, at: Time) -> Time {
    let hits = || bar.upper.hits.iter().chain(&bar.lower.hits);
    let beat = || {
        let ends = bar.meter.beats().into_iter().scan(Time::ZERO - bar.offset, |end, beat| {
            *end += beat;
            Some(*end)
        });
        ends.into_iter().find(|end| *end > at).unwrap_or(bar.length)
    };
    let next = hits().map(|hit| hit.at).filter(|start| *start > at).min();
    let own = hits().filter(|hit| hit.at == at).map(|hit| hit.until.unwrap_or_else(beat)).max();
    let end = own.unwrap_or_else(beat).min(bar.length);
    next.map_or(end, |next| next.min(end))
}

impl TempoStretch {
    /// The same pace and feel from a later time of the bar on.
    fn moved_to(self, at: Time) -> Self {
        let wholes = self.wholes(at);
        Self { from: at, seconds: self.seconds(at), pace: self.pace.after(wholes), ..self }
    }

    /// Whole notes from the start of the stretch to a time of the bar, as they are swung.
    fn wholes(&self, at: Time) -> f64 {
        self.swung(at) - self.swung(self.from)
    }

    /// The second a time of the bar sounds at.
    fn seconds(&self, at: Time) -> f64 {
        self.seconds + self.pace.seconds(self.wholes(at)) * self.held
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
