//! The neutral form in which a block's music is changed: notes in exact time, whatever rows they
//! were written in.

use crate::score::kit::{InstrumentId, Limb};
use crate::score::{
    Accent, Bar, Block, Closing, Hand, Kit, MarkKind, Meter, Sticking, Time, Touch,
};
use num_integer::lcm;
use std::sync::Arc;

/// Finest division of a beat that is looked for.
const FINEST: i64 = 64;

/// Music to be changed.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Phrase {
    pub(crate) bars: Vec<PhraseBar>,
    /// By time, and at one time hands before feet; one note for each limb at one time.
    pub(crate) notes: Vec<LimbNote>,
    /// Beats, and groups spread over several, without a gap from the start to the end.
    pub(crate) spans: Vec<GridSpan>,
    /// Hands and feet are set apart.
    pub(crate) apart: bool,
    /// Only some bars set hands and feet apart.
    pub(crate) by_bar: bool,
}

/// A bar without its notes.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct PhraseBar {
    pub(crate) meter: Arc<Meter>,
    pub(crate) offset: Time,
    pub(crate) length: Time,
    pub(crate) closing: Closing,
    pub(crate) repeat_start: bool,
    /// What stands over its start.
    pub(crate) mark: Option<MarkKind>,
    /// It repeats the bar before, which it is written as.
    pub(crate) same: bool,
}

/// A stretch of time cut into equal cells.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct GridSpan {
    pub(crate) start: Time,
    pub(crate) length: Time,
    pub(crate) parts: i64,
    /// How many beats it takes.
    pub(crate) beats: usize,
}

impl GridSpan {
    pub(crate) fn end(self) -> Time {
        self.start + self.length
    }

    pub(crate) fn cell(self) -> Time {
        self.length / self.parts
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
    pub(crate) grace: u8,
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
            grace: 0,
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

    /// Neither accented nor ghosted.
    pub(crate) fn is_tap(&self) -> bool {
        !self.accented() && !self.strikes.iter().all(|b| b.ghost)
    }

    pub(crate) fn hand(&self) -> Option<Hand> {
        self.letter.as_ref().map(|l| l.hand)
    }

    /// Gives it grace notes and, where it has a letter, theirs: the other hand for a flam and a
    /// drag, hands in turn for a ruff (Percussive Arts Society, *International Drum Rudiments*,
    /// from memory).
    pub(crate) fn set_grace(&mut self, grace: u8) {
        self.grace = grace;
        let Some(letter) = &mut self.letter else { return };
        let (main, other) = (letter.hand, letter.hand.other());
        letter.grace = match grace {
            _ if main == Hand::Both => Vec::new(),
            3 => vec![other, main, other],
            n => vec![other; n.into()],
        };
    }
}

/// Whether a bar of one voice has what feet play.
fn has_feet_above(block: &Block, bar: &Bar) -> bool {
    let mut struck = bar.upper.hits.iter().flat_map(|hit| &hit.strikes);
    let foot = |id| block.kit.get(id).is_some_and(|i| i.limb == Limb::Feet);
    bar.lower.hits.is_empty() && struck.any(|strike| foot(strike.instrument))
}

impl Phrase {
    /// The music of a block, its instruments found by name in `kit`. An error is the name of one
    /// that the kit has not.
    pub(crate) fn of(block: &Block, kit: &Kit) -> Result<Self, String> {
        let apart = block.bars.iter().any(|bar| !bar.lower.hits.is_empty());
        let by_bar = apart && block.bars.iter().any(|bar| has_feet_above(block, bar));
        let mut bars = Vec::new();
        let mut notes: Vec<LimbNote> = Vec::new();
        let mut spread = Vec::new();
        let mut start = Time::ZERO;
        for bar in &block.bars {
            let apart = apart && !has_feet_above(block, bar);
            for (voice, own) in [(&bar.upper, Limb::Hands), (&bar.lower, Limb::Feet)] {
                for hit in &voice.hits {
                    let at = start + hit.at;
                    let until = hit.until.map(|u| start + u);
                    for limb in [Limb::Hands, Limb::Feet] {
                        let mut strikes = Vec::new();
                        for strike in &hit.strikes {
                            let Some(old) = block.kit.get(strike.instrument) else { continue };
                            if limb != if apart { own } else { old.limb } {
                                continue;
                            }
                            strikes.push(NoteStrike {
                                instrument: kit.by_name(&old.name).ok_or(old.name.clone())?,
                                accent: strike.accent,
                                ghost: strike.ghost,
                                choked: strike.choked,
                            });
                        }
                        if strikes.is_empty() {
                            continue;
                        }
                        if hit.continued {
                            let before = notes.iter_mut().rev().find(|n| n.limb == limb);
                            if let Some(before) = before {
                                before.until = until;
                                before.tied = hit.tied;
                            }
                            continue;
                        }
                        let ornamented =
                            limb == Limb::Hands || apart || notes.last().is_none_or(|n| n.at != at);
                        let letters = match limb {
                            Limb::Hands => &bar.sticking,
                            Limb::Feet => &bar.pedalling,
                        };
                        notes.push(LimbNote {
                            at,
                            until,
                            limb,
                            strikes,
                            grace: if ornamented { hit.grace } else { 0 },
                            strokes: if ornamented { hit.strokes } else { 0 },
                            buzz: ornamented && hit.buzz,
                            touch: hit.touch,
                            tied: hit.tied,
                            letter: letter(letters, hit.at),
                        });
                    }
                }
                spread.extend(voice.divisions.iter().map(|d| (start + d.start, d)));
            }
            bars.push(PhraseBar {
                meter: bar.meter.clone(),
                offset: bar.offset,
                length: bar.length,
                closing: bar.closing,
                repeat_start: bar.repeat_start,
                mark: None,
                same: false,
            });
            start += bar.length;
        }
        let mut phrase = Self { bars, notes, spans: Vec::new(), apart, by_bar };
        phrase.sort();
        let mut spread: Vec<(Time, Time, i64)> =
            spread.into_iter().map(|(at, d)| (at, d.length, d.parts.into())).collect();
        spread.sort_by_key(|(at, ..)| *at);
        phrase.spans = phrase.cut(&spread);
        Ok(phrase)
    }

    /// The notes of the hands.
    pub(crate) fn hands(&self) -> impl Iterator<Item = &LimbNote> {
        self.notes.iter().filter(|n| n.limb == Limb::Hands)
    }

    /// From the first barline to the last.
    pub(crate) fn length(&self) -> Time {
        self.bars.iter().map(|b| b.length).sum()
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

    /// Beats and the groups spread over several of them, each with the division all its notes lie
    /// on.
    fn cut(&self, spread: &[(Time, Time, i64)]) -> Vec<GridSpan> {
        let beats = self.beats();
        let mut spans = Vec::new();
        let mut at = 0;
        while let Some((start, length, _)) = beats.get(at) {
            let here = spread.partition_point(|(from, ..)| from < start);
            let here = spread[here..].iter().take_while(|(from, ..)| from == start);
            let wide = here.into_iter().find_map(|(_, long, parts)| {
                let reach = beats[at..]
                    .iter()
                    .scan(Time::ZERO, |sum, (_, beat, _)| {
                        *sum += *beat;
                        Some(*sum)
                    })
                    .take_while(|sum| sum <= long)
                    .position(|sum| sum == *long)?;
                (reach > 0 && parts.count_ones() > 1).then_some((*long, reach + 1, *parts))
            });
            let (length, count, least) = wide.unwrap_or((*length, 1, 1));
            spans.push(GridSpan {
                start: *start,
                length,
                parts: self.division(*start, length, least),
                beats: count,
            });
            at += count;
        }
        spans
    }

    /// The fewest parts, a multiple of `least`, on which all notes of a stretch begin.
    fn division(&self, start: Time, length: Time, least: i64) -> i64 {
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

    /// The span a time lies in.
    pub(crate) fn span_at(&self, at: Time) -> Option<GridSpan> {
        let next = self.spans.partition_point(|s| s.start <= at);
        next.checked_sub(1).and_then(|i| self.spans.get(i)).copied()
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

fn letter(letters: &[Sticking], at: Time) -> Option<Letter> {
    let found = letters.binary_search_by_key(&at, |s| s.at).ok()?;
    let s = letters.get(found)?;
    Some(Letter { hand: s.hand, grace: s.grace.clone() })
}
