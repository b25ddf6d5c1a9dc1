//! Two phrases over one another: one goes on up to where the other comes in, and some of its
//! instruments under it.

use super::attached::Attached;
use super::phrase::{GridSpan, Letter, LimbNote, NoteStrike, Phrase};
use crate::interpret::compose::BarFrame;
use crate::score::kit::{InstrumentId, Limb};
use crate::score::{DynamicKind, Hand, MarkKind, Time};
use std::ops::Range;

/// Most drums that two hands strike at once.
const HANDS: usize = 2;

/// What comes in over music that goes on.
#[derive(Clone, Copy)]
pub(crate) struct Over<'a> {
    /// When, from the start of both.
    pub(crate) from: Time,
    /// What goes on under it.
    pub(crate) instruments: &'a [InstrumentId],
}

impl Over<'_> {
    fn goes_on(&self, strike: &NoteStrike) -> bool {
        self.instruments.contains(&strike.instrument)
    }
}

/// What a phrase plays up to a time, and from there what another plays in its bars, over the instruments
/// that go on. Two strokes of one instrument at one time become one. An error is a time at which three
/// hands would be needed.
pub(crate) fn weave(ground: &Phrase, top: &Phrase, over: Over<'_>) -> Result<Phrase, Time> {
    let mut notes: Vec<LimbNote> = before(ground, over).collect();
    notes.extend(top.notes.iter().filter(|note| note.at >= over.from).cloned());
    for under in ground.notes.iter().filter(|note| note.at >= over.from) {
        let strikes: Vec<NoteStrike> =
            under.strikes.iter().filter(|strike| over.goes_on(strike)).copied().collect();
        if strikes.is_empty() {
            continue;
        }
        match notes.iter_mut().find(|note| (note.at, note.limb) == (under.at, under.limb)) {
            Some(note) => join(note, under.letter.as_ref(), &strikes)?,
            None => notes.push(LimbNote { strikes, ..under.clone() }),
        }
    }
    let mut woven = Phrase {
        bars: top.bars.clone(),
        notes,
        spans: Vec::new(),
        attached: attached(ground, top, over.from),
        apart: ground.apart || top.apart,
        by_bar: ground.by_bar || top.by_bar || ground.apart != top.apart,
    };
    woven.sort();
    woven.keep_words_at_notes();
    let wide = ground.spread().filter(|(start, length, _)| *start + *length <= over.from);
    let mut spread: Vec<(Time, Time, i64)> = wide.collect();
    spread.extend(top.spread().filter(|(start, ..)| *start >= over.from));
    woven.spans = woven.cut(&spread);
    Ok(woven)
}

/// The notes before something comes in. What does not go on under it ends there.
fn before<'p>(ground: &'p Phrase, over: Over<'p>) -> impl Iterator<Item = LimbNote> + 'p {
    ground.notes.iter().filter(move |note| note.at < over.from).map(move |note| {
        let goes_on = note.strikes.iter().all(|strike| over.goes_on(strike));
        let cut = note.until.is_some_and(|until| until > over.from) && !goes_on;
        LimbNote {
            until: if cut { Some(over.from) } else { note.until },
            tied: note.tied && note.until.is_none_or(|until| until < over.from),
            ..note.clone()
        }
    })
}

/// Adds what goes on to a note at the same time. Two drums of the hands take both.
fn join(note: &mut LimbNote, under: Option<&Letter>, strikes: &[NoteStrike]) -> Result<(), Time> {
    let before = note.strikes.len();
    for strike in strikes {
        if note.strikes.iter().all(|own| own.instrument != strike.instrument) {
            note.strikes.push(*strike);
        }
    }
    if note.limb == Limb::Feet || note.strikes.len() == before {
        return Ok(());
    }
    if note.strikes.len() > HANDS {
        return Err(note.at);
    }
    if note.letter.is_some() || under.is_some() {
        note.letter = Some(Letter::plain(Hand::Both));
    }
    Ok(())
}

/// What hangs on both. Of the notes of the second that are not heard their loudness stays.
fn attached(ground: &Phrase, top: &Phrase, from: Time) -> Attached {
    let mut all = ground.attached.played_again();
    all.retain(|at| at < from);
    let mut own = top.attached.clone();
    let loud = own.dynamics.iter().rev().find(|(at, _)| *at <= from).copied();
    let open = all.dynamics.last().is_some_and(|(_, kind)| match kind {
        DynamicKind::Louder(_) | DynamicKind::Softer(_) => true,
        DynamicKind::Letters(_) | DynamicKind::End => false,
    });
    own.words.retain(|(at, _)| *at >= from);
    own.marks.retain(|(at, kind)| *at >= from || !is_of_a_note(kind));
    own.dynamics.retain(|(at, _)| *at >= from);
    let starts = own.dynamics.first().is_some_and(|(at, _)| *at == from);
    match loud {
        Some((_, kind)) if !starts && kind != DynamicKind::End => {
            own.dynamics.insert(0, (from, kind));
        }
        Some(_) | None if open && !starts => own.dynamics.insert(0, (from, DynamicKind::End)),
        Some(_) | None => {}
    }
    all.words.extend(own.words);
    all.dynamics.extend(own.dynamics);
    all.marks.extend(own.marks);
    all.sort();
    all
}

/// Whether a mark stands over one note and means nothing without it.
fn is_of_a_note(kind: &MarkKind) -> bool {
    match kind {
        MarkKind::Note(_) => true,
        MarkKind::Form(_)
        | MarkKind::Tempo(_)
        | MarkKind::Feel(_)
        | MarkKind::Words(_)
        | MarkKind::Number(_)
        | MarkKind::Layout(_)
        | MarkKind::Phrase(_) => false,
    }
}

impl Phrase {
    /// The groups spread over several beats: start, length and parts.
    fn spread(&self) -> impl Iterator<Item = (Time, Time, i64)> {
        let wide = self.spans.iter().filter(|span| span.beats > 1);
        wide.map(|span| (span.start, span.length, span.written))
    }

    /// Some of its bars. What is held past their end ends there.
    pub(crate) fn slice(&self, range: Range<usize>) -> Self {
        let length = |bars: &[BarFrame]| bars.iter().map(|b| b.length).sum();
        let start: Time = length(self.bars.get(..range.start).unwrap_or_default());
        let bars = self.bars.get(range).unwrap_or_default().to_vec();
        let end = start + length(&bars);
        let own = |at: Time| start <= at && at < end;
        let notes = self.notes.iter().filter(|note| own(note.at)).map(|note| LimbNote {
            at: note.at - start,
            until: note.until.map(|until| until.min(end) - start),
            ..note.clone()
        });
        let spans = self.spans.iter().filter(|span| own(span.start));
        let mut attached = self.attached.clone();
        attached.retain(own);
        let mut slice = Self {
            notes: notes.collect(),
            spans: spans.map(|s| GridSpan { start: s.start - start, ..*s }).collect(),
            attached: Attached::default(),
            bars,
            apart: self.apart,
            by_bar: self.by_bar,
        };
        slice.attached.append(&attached, Time::ZERO - start);
        let reach =
            slice.spans.first().map(|span| span.start).zip(slice.spans.last().map(|s| s.end()));
        if reach.is_some_and(|reach| reach != (Time::ZERO, end - start)) {
            // A group over a barline is cut off.
            let inside = |(at, length, _): &(Time, Time, i64)| *at + *length <= end - start;
            let spread: Vec<(Time, Time, i64)> = slice.spread().filter(inside).collect();
            slice.spans = slice.cut(&spread);
        }
        slice
    }

    /// How long its pickup is, where it begins with one.
    pub(crate) fn pickup(&self) -> Option<Time> {
        let first = self.bars.first().filter(|bar| bar.offset > Time::ZERO);
        first.map(|bar| bar.length)
    }

    /// Its bar is written as a repeat of the bar before, which says all that hangs on it.
    pub(crate) fn repeat_bar_before(&mut self) {
        self.attached = Attached::default();
        self.bars.iter_mut().for_each(|bar| bar.same = true);
    }

    /// Fills up a last bar that a pickup left short. Returns how long it is.
    pub(crate) fn fill_last_bar(&mut self) -> Option<Time> {
        let last = self.bars.last_mut()?;
        let whole = last.meter.length();
        if last.offset > Time::ZERO || last.length == whole {
            return Some(last.length);
        }
        last.length = whole;
        let spread: Vec<(Time, Time, i64)> = self.spread().collect();
        self.spans = self.cut(&spread);
        Some(whole)
    }

    /// Lets a pickup fall into the end of its last bar, over the instruments that go on. An error is a
    /// time, from the start, at which three hands would be needed.
    pub(crate) fn lead_in(
        &mut self,
        pickup: &Self,
        instruments: &[InstrumentId],
    ) -> Result<(), Time> {
        let from = self.length() - pickup.length();
        let mut top = Self { bars: self.bars.clone(), ..Self::default() };
        if let Some(bar) = top.bars.last_mut() {
            bar.same = false;
        }
        (top.apart, top.by_bar) = (pickup.apart, pickup.by_bar);
        top.notes.extend(pickup.notes.iter().map(|note| LimbNote {
            at: from + note.at,
            until: note.until.map(|until| from + until),
            ..note.clone()
        }));
        top.attached.append(&pickup.attached, from);
        // What stands over the bars that are there stays, from the first of them.
        let ground = self.attached.clone();
        let mut woven = weave(self, &top, Over { from, instruments })?;
        woven.attached.marks = ground.marks;
        woven.attached.marks.extend(top.attached.marks);
        woven.attached.sort();
        *self = woven;
        Ok(())
    }
}
