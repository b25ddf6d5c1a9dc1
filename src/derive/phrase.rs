//! The neutral form in which a block's music is changed: notes in exact time, whatever rows they
//! were written in.

use super::attached::Attached;
use crate::interpret::compose::BarFrame;
use crate::score::kit::{InstrumentId, Limb};
use crate::score::{Accent, Grace, Hand, Time, Touch};
use num_integer::lcm;

/// Finest division of a beat that is looked for.
const FINEST: i64 = 64;

/// Music to be changed.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Phrase {
    pub(crate) bars: Vec<BarFrame>,
    /// By time, and at one time hands before feet; one note for each limb at one time.
    pub(crate) notes: Vec<LimbNote>,
    /// Beats, and groups spread over several, without a gap from the start to the end.
    pub(crate) spans: Vec<GridSpan>,
    /// What stands under and over them.
    pub(crate) attached: Attached,
    /// Hands and feet are set apart.
    pub(crate) apart: bool,
    /// Only some bars set hands and feet apart.
    pub(crate) by_bar: bool,
}

/// A stretch of time cut into equal cells.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct GridSpan {
    pub(crate) start: Time,
    pub(crate) length: Time,
    pub(crate) parts: i64,
    /// How many beats it takes.
    pub(crate) beats: usize,
    /// How many cells it was written in, where it is a group over several beats; 1 where it is a beat.
    pub(crate) written: i64,
}

impl GridSpan {
    pub(crate) fn end(self) -> Time {
        self.start + self.length
    }

    pub(crate) fn cell(self) -> Time {
        self.length / self.parts
    }

    /// The length of one of the cells it was written in.
    pub(crate) fn written_cell(self) -> Time {
        self.length / self.written
    }
}

/// What one limb plays at one time.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct LimbNote {
    pub(crate) at: Time,
    /// The end it is held to; it may lie past the end of the phrase.
    pub(crate) until: Option<Time>,
    pub(crate) limb: Limb,
    pub(crate) strikes: Vec<NoteStrike>,
    pub(crate) grace: Grace,
    pub(crate) strokes: u8,
    pub(crate) buzz: bool,
    pub(crate) touch: Touch,
    pub(crate) tied: bool,
    pub(crate) letter: Option<Letter>,
}

/// One instrument of a note.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct NoteStrike {
    pub(crate) instrument: InstrumentId,
    pub(crate) accent: Accent,
    pub(crate) ghost: bool,
    pub(crate) choked: bool,
}

/// A letter of a sticking.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Letter {
    pub(crate) hand: Hand,
    pub(crate) grace: Vec<Hand>,
    /// The hand that may play it as well.
    pub(crate) other: Option<Hand>,
}

impl Letter {
    /// The letter of a hit without grace notes.
    pub(crate) fn plain(hand: Hand) -> Self {
        Self { hand, grace: Vec::new(), other: None }
    }
}

impl LimbNote {
    /// A plain note of one instrument.
    pub(crate) fn plain(at: Time, instrument: InstrumentId, limb: Limb) -> Self {
        let strike = NoteStrike { instrument, accent: Accent::None, ghost: false, choked: false };
        Self {
            at,
            until: None,
            limb,
            strikes: vec![strike],
            grace: Grace::default(),
            strokes: 0,
            buzz: false,
            touch: Touch::default(),
            tied: false,
            letter: None,
        }
    }

    pub(crate) fn accented(&self) -> bool {
        self.strikes.iter().any(|b| b.accent != Accent::None)
    }

    /// A beat of time that is kept, which strikes nothing in particular.
    pub(crate) fn is_slash(&self) -> bool {
        self.strikes.is_empty()
    }

    /// Neither accented nor ghosted.
    pub(crate) fn is_tap(&self) -> bool {
        !self.is_slash() && !self.accented() && !self.strikes.iter().all(|b| b.ghost)
    }

    pub(crate) fn hand(&self) -> Option<Hand> {
        self.letter.as_ref().map(|l| l.hand)
    }

    /// Gives it grace notes and, where it has a letter, theirs: the other hand for a flam and a
    /// drag, hands in turn for a ruff (Percussive Arts Society, *International Drum Rudiments*,
    /// from memory).
    pub(crate) fn set_grace(&mut self, grace: Grace) {
        self.grace = grace;
        let Some(letter) = &mut self.letter else { return };
        let (main, other) = (letter.hand, letter.hand.other());
        letter.grace = match grace.count() {
            _ if main == Hand::Both => Vec::new(),
            3 => vec![other, main, other],
            n => vec![other; n.into()],
        };
    }
}

impl Phrase {
    /// The notes of the hands.
    pub(crate) fn hands(&self) -> impl Iterator<Item = &LimbNote> {
        self.notes.iter().filter(|n| n.limb == Limb::Hands && !n.is_slash())
    }

    /// From the first barline to the last.
    pub(crate) fn length(&self) -> Time {
        self.bars.iter().map(|b| b.length).sum()
    }

    /// Lets the words under notes that are gone go with them.
    pub(crate) fn keep_words_at_notes(&mut self) {
        let notes = &self.notes;
        let struck = |at: Time| notes.binary_search_by_key(&at, |note| note.at).is_ok();
        self.attached.words.retain(|(at, _)| struck(*at));
    }

    pub(crate) fn sort(&mut self) {
        self.notes.sort_by_key(|n| (n.at, n.limb));
    }

    /// Beats of every bar: start, length and number in the bar, from zero.
    pub(crate) fn beats(&self) -> Vec<(Time, Time, usize)> {
        let mut beats = Vec::new();
        let mut start = Time::ZERO;
        for bar in &self.bars {
            let mut at = start - bar.offset;
            let end = start + bar.length;
            for (number, beat) in bar.meter.beats().into_iter().enumerate() {
                let (from, to) = (at.max(start), (at + beat).min(end));
                if from < to {
                    beats.push((from, to - from, number));
                }
                at += beat;
            }
            start = end;
        }
        beats
    }

    /// The fewest parts, a multiple of `least`, on which all notes of a stretch begin.
    pub(super) fn division(&self, start: Time, length: Time, least: i64) -> i64 {
        let mut parts = least;
        let first = self.notes.partition_point(|n| n.at < start);
        for note in self.notes[first..].iter().take_while(|n| n.at < start + length) {
            parts = lcm(parts, *(note.at - start).ratio(length).denom());
            if parts > FINEST {
                return FINEST;
            }
        }
        parts
    }

    /// Cuts anew by beats, after notes have moved.
    pub(crate) fn recut(&mut self) {
        self.spans = self.cut(&[]);
    }

    /// Divides each beat by the notes that stand in it, after they have moved with their beats.
    pub(crate) fn divide_spans(&mut self) {
        let divided = |span: &GridSpan| match span.beats {
            1 => GridSpan { parts: self.division(span.start, span.length, 1), ..*span },
            _ => *span,
        };
        self.spans = self.spans.iter().map(divided).collect();
    }

    /// The index of the span a time lies in.
    pub(crate) fn span_at(&self, at: Time) -> Option<usize> {
        self.spans.partition_point(|s| s.start <= at).checked_sub(1)
    }

    /// A time on the ring that the phrase is when it goes round.
    pub(crate) fn wrapped(&self, at: Time) -> Time {
        let length = self.length();
        if length == Time::ZERO {
            return at;
        }
        at - length * at.ratio(length).floor().to_integer()
    }
}
