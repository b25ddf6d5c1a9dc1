//! A bar, played.

use super::loudness::Course;
use super::ornament;
use super::tempo::BarClock;
use super::timeline::{Note, NoteId, Stroke, StrokeKind, Timeline, VoiceName};
use crate::score::kit::{InstrumentId, Limb};
use crate::score::{Bar, GraceDrum, Hand, Hit, PlayerPart, Sticking, Time};
use smallvec::{SmallVec, smallvec};
use std::ops::Range;

/// Plays one bar.
pub(super) struct BarPlayer<'a> {
    pub(super) part: &'a PlayerPart,
    pub(super) bar: &'a Bar,
    pub(super) clock: &'a BarClock,
    pub(super) course: &'a Course,
    /// The bar's index in the block, and of its playing in the order.
    pub(super) index: usize,
    pub(super) number: usize,
    /// Its start in the block as it is written, and as it is played.
    pub(super) written: Time,
    pub(super) start: Time,
    /// Ends of its beats.
    pub(super) beats: Vec<Time>,
}

/// What a limb struck last in a voice, for the bar after it may let it go on.
pub(super) struct Held {
    voice: VoiceName,
    limb: Limb,
    /// The strokes of its last onset, by index.
    strokes: Range<usize>,
}

/// The last strokes at one time of those from an index on, without grace notes.
fn last_together(strokes: &[Stroke], from: usize) -> Range<usize> {
    let own = strokes.get(from..).unwrap_or_default();
    let Some(last) = own.last() else { return from..from };
    let others = own.iter().rposition(|s| s.onset != last.onset || s.kind == StrokeKind::Grace);
    from + others.map_or(0, |before| before + 1)..strokes.len()
}

impl BarPlayer<'_> {
    /// Plays the bar to the end of a timeline.
    pub(super) fn play(&mut self, held: &mut Vec<Held>, timeline: &mut Timeline) {
        let voices = [(VoiceName::Upper, &self.bar.upper), (VoiceName::Lower, &self.bar.lower)];
        let mut found: Vec<(NoteId, &Hit)> = Vec::new();
        for (voice, own) in voices {
            let id = |hit| NoteId { bar: self.index, voice, hit };
            found.extend(own.hits.iter().enumerate().map(|(hit, own)| (id(hit), own)));
        }
        found.sort_by_key(|(id, hit)| (hit.at, id.voice));
        for (id, hit) in found {
            for limb in [Limb::Hands, Limb::Feet] {
                if hit.continued {
                    self.go_on(id, hit, limb, held, timeline);
                } else {
                    let from = timeline.strokes.len();
                    self.note(id, hit, limb, timeline);
                    let last = last_together(&timeline.strokes, from);
                    if !last.is_empty() {
                        held.retain(|held| held.voice != id.voice || held.limb != limb);
                        held.push(Held { voice: id.voice, limb, strokes: last });
                    }
                }
            }
        }
    }

    /// Lets the last note of a voice and a limb go on from the bar before, and its roll with it.
    fn go_on(&self, id: NoteId, hit: &Hit, limb: Limb, held: &mut [Held], timeline: &mut Timeline) {
        if !hit.strikes.iter().any(|s| self.limb_of(id, s.instrument) == limb) {
            return;
        }
        let held = held.iter_mut().find(|held| held.voice == id.voice && held.limb == limb);
        let Some(held) = held else { return };
        let end = self.end(id, hit);
        let sounding = timeline.strokes.get_mut(held.strokes.clone()).unwrap_or_default();
        for stroke in sounding.iter_mut() {
            stroke.end = self.start + end;
            stroke.sounds.1 = self.sounds(end);
            stroke.end_seconds = self.clock.at(end);
            stroke.silenced = stroke.choked.then_some(stroke.end_seconds);
        }
        if hit.strokes == 0 || hit.buzz {
            return;
        }
        let sounding = sounding.to_vec();
        for into in ornament::strokes(hit, end - hit.at) {
            let at = hit.at + into;
            let from = timeline.strokes.len();
            timeline.strokes.extend(sounding.iter().map(|stroke| Stroke {
                kind: StrokeKind::Roll,
                onset: self.start + at,
                end: self.start + end,
                sounds: (self.sounds(at), self.sounds(end)),
                seconds: self.clock.at(at),
                end_seconds: self.clock.at(end),
                silenced: stroke.choked.then(|| self.clock.at(end)),
                ..stroke.clone()
            }));
            held.strokes = from..timeline.strokes.len();
        }
    }

    /// Where a time of the bar lies in what is played, as it sounds.
    fn sounds(&self, at: Time) -> Time {
        self.start + self.clock.sounding(at)
    }

    /// Whether the voices of the bar say which limb plays; in a bar of one voice the kit says it.
    fn set_apart(&self) -> bool {
        !self.bar.lower.hits.is_empty()
    }

    fn limb_of(&self, id: NoteId, instrument: InstrumentId) -> Limb {
        match id.voice {
            VoiceName::Upper if self.set_apart() => Limb::Hands,
            VoiceName::Lower if self.set_apart() => Limb::Feet,
            VoiceName::Upper | VoiceName::Lower => self.part.kit.limb(instrument),
        }
    }

    /// What one limb plays of a hit.
    fn note(&self, id: NoteId, hit: &Hit, limb: Limb, timeline: &mut Timeline) {
        let own = |instrument: InstrumentId| self.limb_of(id, instrument) == limb;
        let instruments: SmallVec<[InstrumentId; 2]> =
            hit.strikes.iter().map(|s| s.instrument).filter(|i| own(*i)).collect();
        if instruments.is_empty() {
            return;
        }
        let letters = match limb {
            Limb::Hands => &self.bar.sticking,
            Limb::Feet => &self.bar.pedalling,
        };
        let letter = letter(letters, hit.at);
        let note = timeline.notes.len();
        timeline.notes.push(Note {
            id,
            played: self.number,
            limb,
            letter: letter.map(|l| l.hand),
            letter_span: letter.map(|l| l.span),
            instruments: instruments.clone(),
            onset: self.start + hit.at,
            seconds: self.clock.at(hit.at),
            grace: hit.grace.count(),
            slashes: hit.strokes,
            span: hit.span,
        });
        // Ornaments are the hands' where both play the hit.
        let alone = !hit.strikes.iter().any(|s| !own(s.instrument));
        let ornamented = limb == Limb::Hands || alone;
        if ornamented {
            self.grace_notes(note, hit, (limb, letter), &instruments, timeline);
        }
        self.strokes(note, hit, (limb, letter), ornamented, timeline);
    }

    fn grace_notes(
        &self,
        note: usize,
        hit: &Hit,
        (limb, letter): (Limb, Option<&Sticking>),
        instruments: &[InstrumentId],
        timeline: &mut Timeline,
    ) {
        let Some(main) = hit.strikes.iter().find(|s| instruments.contains(&s.instrument)) else {
            return;
        };
        let loudness = self.course.at(self.written + hit.at).struck(main).grace();
        let spread = self.part.settings.grace_spread;
        for (number, drum) in hit.grace.drums().iter().enumerate() {
            let ahead = f64::from(hit.grace.count()) - number as f64;
            let seconds = self.clock.at(hit.at) - ahead * spread;
            let written = letter.and_then(|l| l.grace.get(number)).copied();
            let (instrument, limb) = match drum {
                GraceDrum::Same => (main.instrument, limb),
                GraceDrum::Other(id) => (*id, self.part.kit.limb(*id)),
            };
            timeline.strokes.push(Stroke {
                note,
                kind: StrokeKind::Grace,
                instrument,
                limb,
                hand: written.or(letter.map(|l| l.hand.other())),
                onset: self.start + hit.at,
                end: self.start + hit.at,
                sounds: (self.sounds(hit.at), self.sounds(hit.at)),
                seconds,
                end_seconds: seconds + spread,
                loudness,
                choked: false,
                silenced: None,
                span: hit.span,
            });
        }
    }

    /// The note itself, and what follows of its roll.
    fn strokes(
        &self,
        note: usize,
        hit: &Hit,
        (limb, letter): (Limb, Option<&Sticking>),
        ornamented: bool,
        timeline: &mut Timeline,
    ) {
        let id = timeline.notes.get(note).map(|note| note.id);
        let own = |instrument| id.is_some_and(|id| self.limb_of(id, instrument) == limb);
        let end = id.map_or(hit.at, |id| self.end(id, hit));
        let rolled =
            if ornamented { ornament::strokes(hit, end - hit.at) } else { smallvec![Time::ZERO] };
        for (number, into) in rolled.iter().enumerate() {
            let at = hit.at + *into;
            let until = rolled.get(number + 1).map_or(end, |next| hit.at + *next);
            let base = self.course.at(self.written + at);
            for strike in hit.strikes.iter().filter(|s| own(s.instrument)) {
                let kind = match number {
                    0 if hit.buzz && ornamented => StrokeKind::Buzz,
                    0 => StrokeKind::Main,
                    _ => StrokeKind::Roll,
                };
                let hand = self.hand(letter, strike.instrument, hit, &own);
                timeline.strokes.push(Stroke {
                    note,
                    kind,
                    instrument: strike.instrument,
                    limb,
                    hand: ornament::roll_hand(hand, hit.strokes, number),
                    onset: self.start + at,
                    end: self.start + until,
                    sounds: (self.sounds(at), self.sounds(until)),
                    seconds: self.clock.at(at),
                    end_seconds: self.clock.at(until),
                    loudness: base.struck(strike),
                    choked: strike.choked,
                    silenced: strike.choked.then(|| self.clock.at(until)),
                    span: strike.span,
                });
            }
        }
    }

    /// The hand of one strike: that of the letter; of two drums struck by both hands the right one
    /// takes what stands further to the right.
    fn hand(
        &self,
        letter: Option<&Sticking>,
        instrument: InstrumentId,
        hit: &Hit,
        own: &dyn Fn(InstrumentId) -> bool,
    ) -> Option<Hand> {
        let hand = letter?.hand;
        let others = hit.strikes.iter().map(|s| s.instrument).filter(|i| own(*i));
        let kit = &self.part.kit;
        let right_most = others.clone().max_by_key(|id| kit.spot(*id));
        match hand {
            Hand::Both if others.count() > 1 => Some(match right_most == Some(instrument) {
                true => Hand::Right,
                false => Hand::Left,
            }),
            Hand::Both | Hand::Right | Hand::Left => Some(hand),
        }
    }

    /// Where a hit ends: where it is held to, else at the next hit or the end of its beat.
    fn end(&self, id: NoteId, hit: &Hit) -> Time {
        if let Some(until) = hit.until {
            return until;
        }
        let beat = self.beats.iter().copied().find(|end| *end > hit.at);
        let beat = beat.unwrap_or(self.bar.length);
        let voice = match id.voice {
            VoiceName::Upper => &self.bar.upper,
            VoiceName::Lower => &self.bar.lower,
        };
        let index = voice.hits.partition_point(|h| h.at <= hit.at);
        voice.hits.get(index).map_or(beat, |next| next.at.min(beat))
    }
}

fn letter(letters: &[Sticking], at: Time) -> Option<&Sticking> {
    let found = letters.binary_search_by_key(&at, |s| s.at).ok()?;
    letters.get(found)
}
