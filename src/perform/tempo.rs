//! Musical time in seconds: tempo, its changes at once and gradual, metric modulation, fermatas, and
//! swing.

use super::order::Played;
use super::pace::{Pace, TempoStep};
use crate::score::mark::{FeelMark, NoteMark, TempoChange, TempoMark};
use crate::score::settings::{Swing, Tempo};
use crate::score::{Bar, Block, MarkKind, Time};
use num_rational::Ratio;

/// Quarters a minute where a block says no tempo: what a Standard MIDI File without a tempo is
/// played at (MIDI Manufacturers Association, *Standard MIDI Files 1.0*, from memory).
const UNSAID: f64 = 120.0;
/// The tempo that a ritardando and an accelerando reach where none is written after them, as a factor
/// on the one before. Common practice, no source.
const RITARDANDO: f64 = 3.0 / 4.0;
const ACCELERANDO: f64 = 4.0 / 3.0;
/// How many times its length a note under a fermata lasts. Common practice, no source.
const FERMATA: f64 = 2.0;

/// How long a step of a gradual change of tempo is at most, where it is told in steps.
const STEP: Time = Time::SIXTEENTH;

/// A stretch of a bar in one pace and feel.
#[derive(Clone, Copy, Debug)]
struct TempoStretch {
    /// Its start in the bar, as it is written and as it sounds.
    from: Time,
    sounds: Time,
    /// Where the bar begins and ends in the full bar of its time signature: a pickup begins late.
    full: (Time, Time),
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
#[derive(Clone, Debug)]
pub(super) struct BarClock {
    stretches: Vec<TempoStretch>,
    length: Time,
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
            sounds: Time::ZERO,
            full: (Time::ZERO, Time::ZERO),
            seconds: 0.0,
            pace: Pace::Even(home),
            held: 1.0,
            swing: block.settings.swing,
        };
        Self { now, home, turns, next: 0, played: Time::ZERO, end }
    }

    /// Takes the next bar.
    pub(super) fn bar(&mut self, bar: &Bar) -> BarClock {
        self.now.full = (bar.offset, bar.offset + bar.length);
        let mut stretches = vec![self.now];
        for (at, change) in changes(bar) {
            self.now = self.now.moved_to(at);
            match change {
                Change::Mark(kind) => self.take(kind),
                Change::HeldEnd => self.now.held = 1.0,
            }
            stretches.push(self.now);
        }
        let next = self.now.moved_to(bar.length);
        self.now = TempoStretch { from: Time::ZERO, sounds: Time::ZERO, held: 1.0, ..next };
        self.played += bar.length;
        BarClock { stretches, length: bar.length }
    }

    /// Takes a mark at the start of the present stretch.
    fn take(&mut self, mark: &MarkKind) {
        match mark {
            MarkKind::Tempo(TempoMark::New(tempo)) => self.set_tempo(whole(tempo)),
            MarkKind::Tempo(TempoMark::Modulation { was, now }) => {
                // What lasted as long as the one value lasts as long as the other.
                let ratio = was.as_f64() / now.as_f64().max(f64::EPSILON);
                self.set_tempo(self.now.pace.whole() * ratio);
            }
            MarkKind::Tempo(TempoMark::ATempo) => self.set_tempo(self.home),
            MarkKind::Tempo(TempoMark::Gradual(change)) => {
                let from = self.now.pace.whole();
                let turn = self.turns.get(self.next + 1);
                let start = self.turns.get(self.next).map_or(self.played, |turn| turn.at);
                let until = turn.map_or(self.end, |turn| turn.at);
                let to = reached(*change, from, turn.map(|turn| turn.kind));
                self.now.pace = Pace::ramp(from, to, (until - start).as_f64());
            }
            MarkKind::Feel(FeelMark::Swing(swing)) => self.now.swing = Some(*swing),
            MarkKind::Feel(FeelMark::Straight) => self.now.swing = None,
            MarkKind::Note(NoteMark::Fermata) => self.now.held = FERMATA,
            MarkKind::Form(_)
            | MarkKind::Note(NoteMark::Breath | NoteMark::Caesura)
            | MarkKind::Words(_)
            | MarkKind::Number(_)
            | MarkKind::Layout(_)
            | MarkKind::Phrase(_) => {}
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
        Some(MarkKind::Tempo(TempoMark::New(tempo))) => Some(whole(tempo)),
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
        if mark.kind == MarkKind::Note(NoteMark::Fermata) {
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
        let (sounds, seconds) = (self.sounding(at), self.seconds(at));
        Self { from: at, sounds, seconds, pace: self.pace.after(wholes), ..self }
    }

    /// Whole notes from the start of the stretch to a time of the bar, as they are swung.
    fn wholes(&self, at: Time) -> f64 {
        (self.sounding(at) - self.sounds).as_f64()
    }

    /// The second a time of the bar sounds at.
    fn seconds(&self, at: Time) -> f64 {
        self.seconds + self.pace.seconds(self.wholes(at)) * self.held
    }

    /// Where a written time of the bar lies when it is swung: the first of two even notes is longer than
    /// the second. Pairs are those of the full bar; one that the barline cuts stays even, and so do the notes
    /// of triplets and other groups that are not halves of halves (common practice, no source).
    fn sounding(&self, at: Time) -> Time {
        let Some(swing) = self.swing else { return at.max(self.sounds) };
        let (begin, end) = self.full;
        let pair = swing.unit * 2;
        let first = pair * (at + begin).ratio(pair).floor().to_integer();
        if first + pair > end {
            return at.max(self.sounds);
        }
        let into = at + begin - first;
        if !into.ratio(pair).denom().unsigned_abs().is_power_of_two() {
            return at.max(self.sounds);
        }
        let parts = i64::from(swing.long) + i64::from(swing.short);
        let long = pair * Ratio::new(swing.long.into(), parts.max(1));
        let bent = match into < swing.unit {
            true => into * long.ratio(swing.unit),
            false => long + (into - swing.unit) * (pair - long).ratio(swing.unit),
        };
        (first + bent - begin).max(self.sounds)
    }

    /// Its tempo up to a time of the bar as it sounds, in steps; the bar begins at a time of what is played.
    fn steps(&self, until: Time, start: Time) -> Vec<TempoStep> {
        let step = |at: Time, to: Time| {
            let wholes = |time: Time| (time - self.sounds).as_f64();
            let seconds = |time| self.pace.seconds(wholes(time)) * self.held;
            let length = (to - at).as_f64();
            TempoStep {
                at: start + at,
                seconds: self.seconds + seconds(at),
                whole: (seconds(to) - seconds(at)) / length.max(f64::EPSILON),
            }
        };
        let mut steps = Vec::new();
        let mut at = self.sounds;
        while at < until {
            let to = match self.pace {
                Pace::Even(_) => until,
                Pace::Ramp(_) => until.min(STEP * ((at.ratio(STEP)).floor().to_integer() + 1)),
            };
            steps.push(step(at, to));
            at = to;
        }
        steps
    }
}

impl BarClock {
    fn stretch(&self, at: Time) -> Option<&TempoStretch> {
        let next = self.stretches.partition_point(|s| s.from <= at);
        self.stretches.get(next.saturating_sub(1))
    }

    /// The second a time of the bar sounds at.
    pub(super) fn at(&self, at: Time) -> f64 {
        self.stretch(at).map_or(0.0, |s| s.seconds(at))
    }

    /// Where a written time of the bar lies in it as it sounds.
    pub(super) fn sounding(&self, at: Time) -> Time {
        self.stretch(at).map_or(at, |s| s.sounding(at))
    }

    /// The tempo of the bar in steps; it begins at a time of what is played.
    pub(super) fn steps(&self, start: Time) -> impl Iterator<Item = TempoStep> {
        let ends = self.stretches.iter().skip(1).map(|next| next.sounds);
        let ends = ends.chain([self.length]);
        self.stretches.iter().zip(ends).flat_map(move |(s, until)| s.steps(until, start))
    }
}
