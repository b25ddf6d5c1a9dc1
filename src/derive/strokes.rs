//! Accents, taps, drums and hands changed; every note stays where it is.

use super::accents;
use super::gaps;
use super::phrase::{LimbNote, NoteStrike, Phrase};
use crate::interpret::request::{Moved, Places, Step, Taps};
use crate::interpret::surroundings::Surroundings;
use crate::score::kit::{InstrumentId, Limb};
use crate::score::{Accent, Grace, Hand, Kit};
use std::collections::BTreeSet;

/// Changes the taps; returns how many there are.
pub(crate) fn taps(phrase: &mut Phrase, change: &Taps, kit: &Kit) -> usize {
    let is_one = |n: &LimbNote| n.limb == Limb::Hands && n.is_tap();
    let count = phrase.notes.iter().filter(|n| is_one(n)).count();
    let mut change_each = |change: &dyn Fn(&mut LimbNote)| {
        phrase.notes.iter_mut().filter(|n| is_one(n)).for_each(change);
    };
    match change {
        Taps::Diddle => diddle(phrase, is_one),
        Taps::Ghost => change_each(&|note| note.strikes.iter_mut().for_each(|s| s.ghost = true)),
        Taps::Grace(grace) => change_each(&|note| {
            if note.grace.is_none() {
                note.set_grace(Grace::same(*grace));
            }
        }),
        Taps::Drop => phrase.notes.retain(|n| !is_one(n)),
        Taps::Move(to) => relocate(phrase, to, kit, is_one),
    }
    count
}

/// Makes each chosen note two strokes of one hand in the time of one cell, which is the same
/// wherever the note stands: the finest in halves that the beats are felt in, or the cell of its
/// tuplet.
fn diddle(phrase: &mut Phrase, chosen: impl Fn(&LimbNote) -> bool) {
    let grid = gaps::felt(phrase);
    for index in 0..phrase.notes.len() {
        let span = phrase.notes.get(index).and_then(|note| phrase.span_at(note.at));
        let cell = span.and_then(|span| grid.get(span)).map(|span| span.cell());
        let Some((note, cell)) = phrase.notes.get_mut(index).filter(|n| chosen(n)).zip(cell) else {
            continue;
        };
        note.strokes = note.strokes.max(1);
        note.until = Some(note.at + cell);
        note.tied = false;
    }
}

/// Moves what the accents strike; returns how many there are.
pub(crate) fn move_accents(phrase: &mut Phrase, to: &[InstrumentId], kit: &Kit) -> usize {
    let is_one = |n: &LimbNote| n.limb == Limb::Hands && n.accented();
    let count = phrase.notes.iter().filter(|n| is_one(n)).count();
    relocate(phrase, to, kit, is_one);
    count
}

/// Gives the accents of the hands grace notes; returns how many there are.
pub(crate) fn grace_accents(phrase: &mut Phrase, grace: u8) -> usize {
    let accents = phrase.notes.iter_mut().filter(|n| n.limb == Limb::Hands && n.accented());
    accents.map(|note| note.set_grace(Grace::same(grace))).count()
}

/// Moves what one hand plays alone, or what some instruments play, to other instruments, each to its
/// own limb and as loud as it was; returns how many notes that are.
pub(crate) fn move_to(phrase: &mut Phrase, from: &Moved, to: &[InstrumentId], kit: &Kit) -> usize {
    let mut goes: Vec<LimbNote> = Vec::new();
    let mut count = 0;
    for note in &mut phrase.notes {
        let moved: Vec<NoteStrike> = match from {
            Moved::Hand(hand) if note.hand() == Some(*hand) => std::mem::take(&mut note.strikes),
            Moved::Hand(_) => continue,
            Moved::Instruments(own) => {
                let is_moved = |strike: &NoteStrike| own.contains(&strike.instrument);
                let moved = note.strikes.iter().filter(|s| is_moved(s)).copied().collect();
                note.strikes.retain(|strike| !is_moved(strike));
                moved
            }
        };
        let Some(first) = moved.first() else { continue };
        count += 1;
        for limb in [Limb::Hands, Limb::Feet] {
            let there = to.iter().filter(|id| kit.limb(**id) == limb);
            let strikes: Vec<NoteStrike> =
                there.map(|id| NoteStrike { instrument: *id, choked: false, ..*first }).collect();
            if !strikes.is_empty() {
                let letter = note.letter.clone().filter(|_| limb == note.limb);
                goes.push(LimbNote { limb, strikes, letter, ..note.clone() });
            }
        }
    }
    phrase.notes.retain(|n| !n.strikes.is_empty());
    goes.into_iter().for_each(|note| add(phrase, note));
    phrase.sort();
    count
}

/// Adds a note, or its strikes to what the same limb plays at its time.
fn add(phrase: &mut Phrase, note: LimbNote) {
    let there = phrase.notes.iter_mut().find(|n| (n.at, n.limb) == (note.at, note.limb));
    let Some(there) = there else { return phrase.notes.push(note) };
    for strike in note.strikes {
        if there.strikes.iter().all(|own| own.instrument != strike.instrument) {
            there.strikes.push(strike);
        }
    }
}

/// Gives the strikes of chosen notes to other instruments, each to its own limb. The accent goes
/// along.
fn relocate(
    phrase: &mut Phrase,
    to: &[InstrumentId],
    kit: &Kit,
    chosen: impl Fn(&LimbNote) -> bool,
) {
    let mut feet: Vec<LimbNote> = Vec::new();
    for note in phrase.notes.iter_mut().filter(|n| chosen(n)) {
        let accent = note.strikes.iter().map(|b| b.accent).max().unwrap_or_default();
        let strike =
            |id: &InstrumentId| NoteStrike { instrument: *id, accent, ghost: false, choked: false };
        let of = |limb: Limb| to.iter().filter(move |id| kit.limb(**id) == limb);
        if of(Limb::Feet).next().is_some() {
            let first = InstrumentId::FIRST;
            let mut foot = LimbNote::plain(note.at, first, Limb::Feet);
            foot.strikes = of(Limb::Feet)
                .map(|id| NoteStrike { accent: Accent::None, ..strike(id) })
                .collect();
            feet.push(foot);
        }
        note.strikes = of(Limb::Hands).map(strike).collect();
    }
    phrase.notes.retain(|n| !n.strikes.is_empty());
    feet.into_iter().for_each(|foot| add(phrase, foot));
    phrase.sort();
}

/// Accents the notes of the hands at some places and no others; returns how many.
pub(crate) fn accents(phrase: &mut Phrase, places: &Places, around: &Surroundings) -> usize {
    let times = match places {
        Places::Counts(places) => {
            accents::times(phrase, (places, accents::EXAMPLE), around).unwrap_or_default()
        }
        Places::Nowhere | Places::Every(_) => BTreeSet::new(),
    };
    let mut count = 0;
    let hands = phrase.notes.iter_mut().filter(|n| n.limb == Limb::Hands);
    for (nth, note) in hands.enumerate() {
        let accent = match places {
            Places::Nowhere => false,
            Places::Every(n) => nth % n == 0,
            Places::Counts(_) => times.contains(&note.at),
        };
        count += usize::from(accent);
        for strike in &mut note.strikes {
            strike.accent = if accent { Accent::Accent } else { Accent::None };
            strike.ghost &= !accent;
        }
    }
    count
}

/// Keeps the accented notes of the hands and leaves the feet alone; returns how many notes went.
pub(crate) fn skeleton(phrase: &mut Phrase) -> usize {
    let before = phrase.notes.len();
    phrase.notes.retain(|n| n.limb == Limb::Feet || n.accented());
    before - phrase.notes.len()
}

/// Gives the single strokes of one hand to an instrument; returns how many.
pub(crate) fn by_hand(phrase: &mut Phrase, hand: Hand, to: InstrumentId) -> usize {
    let mut count = 0;
    for note in phrase.notes.iter_mut().filter(|n| n.hand() == Some(hand)) {
        if let [strike] = note.strikes.as_mut_slice() {
            strike.instrument = to;
            count += 1;
        }
    }
    count
}

/// Leads the hands from drum to drum; after the last comes the first again. Notes of two
/// instruments stay. Returns how many notes were led.
pub(crate) fn order(phrase: &mut Phrase, drums: &[InstrumentId], step: Step) -> usize {
    let beats = phrase.beats();
    let mut accent = 0;
    let mut count = 0;
    let hands = phrase.notes.iter_mut().filter(|n| n.limb == Limb::Hands);
    for (nth, note) in hands.enumerate() {
        if note.accented() && nth > 0 {
            accent += 1;
        }
        let turn = match step {
            Step::Beat => beats.partition_point(|b| b.0 <= note.at).saturating_sub(1),
            Step::Note => nth,
            Step::Accent => accent,
        };
        if let ([strike], Some(drum)) =
            (note.strikes.as_mut_slice(), drums.get(turn % drums.len().max(1)))
        {
            strike.instrument = *drum;
            count += 1;
        }
    }
    count
}

/// Right for left and left for right, grace notes too.
pub(crate) fn reverse_sticking(phrase: &mut Phrase) {
    for letter in phrase.notes.iter_mut().filter_map(|n| n.letter.as_mut()) {
        letter.hand = letter.hand.other();
        letter.grace.iter_mut().for_each(|h| *h = h.other());
        letter.other = letter.other.map(Hand::other);
    }
}

/// The hand that has the first single stroke, where the letters say it.
pub(crate) fn lead(phrase: &Phrase) -> Option<Hand> {
    let hands = phrase.notes.iter().filter(|n| n.limb == Limb::Hands);
    hands.filter_map(LimbNote::hand).find(|h| *h != Hand::Both)
}
