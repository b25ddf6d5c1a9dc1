//! The changes of a variation made to a phrase.

use super::phrase::Phrase;
use super::time::Unlaid;
use super::{backwards, compose, gaps, hands, strokes, subdivision, time};
use crate::interpret::request::{Change, Filling, Moved, Places, Step, Taps, Turn};
use crate::interpret::surroundings::Surroundings;
use crate::score::kit::InstrumentId;
use crate::score::{Hand, Kit, Time};
use crate::source::say;
use crate::syntax::values::subdivision::Subdivision;
use num_rational::Ratio;

/// What stands in the way of a change, and its mend.
pub(crate) type Obstacle = (String, String);

/// Whether a change needs letters to work on, or makes them.
pub(crate) fn is_about_hands(change: &Change) -> bool {
    match change {
        Change::ByHand(..)
        | Change::Move(Moved::Hand(_), _)
        | Change::Reverse
        | Change::Lead(_)
        | Change::Stick(_) => true,
        Change::Gaps(..)
        | Change::Move(Moved::Instruments(_), _)
        | Change::AccentsGrace(_)
        | Change::Taps(_)
        | Change::AccentsTo(_)
        | Change::AccentsAt(_)
        | Change::Skeleton
        | Change::Order(..)
        | Change::Shift(_)
        | Change::ShiftBeats(_)
        | Change::Rotate(_)
        | Change::Backwards
        | Change::As(_) => false,
    }
}

/// Whether a change moves notes to other times, so that what hangs on them has no place any more.
pub(crate) fn moves_in_time(change: &Change) -> bool {
    match change {
        Change::Shift(_)
        | Change::ShiftBeats(_)
        | Change::Rotate(_)
        | Change::Backwards
        | Change::As(_) => true,
        Change::Gaps(..)
        | Change::Taps(_)
        | Change::AccentsTo(_)
        | Change::AccentsAt(_)
        | Change::Skeleton
        | Change::AccentsGrace(_)
        | Change::ByHand(..)
        | Change::Move(..)
        | Change::Order(..)
        | Change::Reverse
        | Change::Lead(_)
        | Change::Stick(_) => false,
    }
}

/// Changes a phrase. Returns what was done in plain words.
pub(crate) fn apply(
    change: &Change,
    phrase: &mut Phrase,
    around: &Surroundings,
) -> Result<String, Obstacle> {
    let kit = &*around.kit;
    match change {
        Change::Gaps(filling, named) => fill_gaps(phrase, filling, *named, around),
        Change::Taps(taps) => change_taps(phrase, taps, kit),
        Change::AccentsTo(to) => {
            let count = found(strokes::move_accents(phrase, to, kit), "no accent in the hands")?;
            Ok(format!("the accents go to {}: {}", names(kit, to), several(count, "note")))
        }
        Change::AccentsAt(places) => accent(phrase, places, around),
        Change::AccentsGrace(grace) => {
            let count = found(strokes::grace_accents(phrase, *grace), "no accent in the hands")?;
            let (each, notes) = (several((*grace).into(), "grace note"), several(count, "note"));
            Ok(format!("the accents of the hands take {each}: {notes}"))
        }
        Change::Move(from, to) => move_to(phrase, from, to, kit),
        Change::Skeleton => {
            let accents = phrase.notes.iter().filter(|n| n.accented()).count();
            found(accents, "no accent in the hands")?;
            let count = strokes::skeleton(phrase);
            Ok(format!("only the accents stay: {} fall away", several(count, "note")))
        }
        Change::ByHand(hand, to) => {
            let side = side(*hand);
            let nothing = format!("no letter for the {side} hand");
            let count = found(strokes::by_hand(phrase, *hand, *to), &nothing)?;
            let (to, notes) = (name(kit, *to), several(count, "note"));
            Ok(format!("the {side} hand goes to {to}: {notes}"))
        }
        Change::Order(drums, step) => Ok(order(phrase, drums, *step, kit)),
        Change::Reverse => {
            found(usize::from(strokes::lead(phrase).is_some()), "no sticking")?;
            strokes::reverse_sticking(phrase);
            Ok("right and left change places".to_owned())
        }
        Change::Lead(hand) => lead(phrase, *hand),
        Change::Stick(rule) => {
            hands::stick(phrase, kit, *rule);
            Ok(rule.told())
        }
        Change::Shift(by) => Ok(shift(phrase, *by)),
        Change::ShiftBeats(beats) => {
            let beat = phrase.bars.first().and_then(|bar| bar.meter.beats().first().copied());
            Ok(shift(phrase, beat.unwrap_or(Time::QUARTER) * *beats))
        }
        Change::Rotate(turn) => Ok(rotate(phrase, *turn)),
        Change::Backwards => {
            backwards::reverse(phrase);
            Ok("the last note comes first".to_owned())
        }
        Change::As(named) => subdivide(phrase, *named),
    }
}

fn order(phrase: &mut Phrase, drums: &[InstrumentId], step: Step, kit: &Kit) -> String {
    let count = strokes::order(phrase, drums, step);
    let step = match step {
        Step::Beat => "one for each beat",
        Step::Note => "one for each note",
        Step::Accent => "on to the next at each accent",
    };
    format!("the hands go round {}, {step}: {}", names(kit, drums), several(count, "note"))
}

fn several(count: usize, thing: &str) -> String {
    say::several(count, thing)
}

fn name(kit: &Kit, id: InstrumentId) -> &str {
    kit.get(id).map_or("?", |i| i.name.as_str())
}

fn names(kit: &Kit, ids: &[InstrumentId]) -> String {
    say::listed(ids.iter().map(|id| name(kit, *id)))
}

fn side(hand: Hand) -> &'static str {
    match hand {
        Hand::Left => "left",
        Hand::Right | Hand::Both => "right",
    }
}

fn fill_gaps(
    phrase: &mut Phrase,
    filling: &Filling,
    named: Option<Subdivision>,
    around: &Surroundings,
) -> Result<String, Obstacle> {
    let mut grid = gaps::felt(phrase);
    if let Some(named) = named {
        let parts = parts_in(phrase, named)?;
        if !gaps::feel_in(phrase, &mut grid, parts) {
            let name = named.name();
            return Err((
                format!(
                    "no beat of it can be felt in {name}, for its notes lie on other parts of the beat"
                ),
                "name a subdivision that has all its notes, or leave `in` out".to_owned(),
            ));
        }
    }
    let gaps = gaps::find(phrase, &grid);
    let count = match filling {
        Filling::Grace(grace) => gaps::lead_in(phrase, &gaps, *grace),
        Filling::Cells(cells) => gaps::fill(phrase, &gaps, &compose::notes(cells, around)),
    };
    if count == 0 {
        return Err((
            "it has no gap to fill".to_owned(),
            "leave the line out, or say how fine the gaps are, as `gaps: k in sixteenths`"
                .to_owned(),
        ));
    }
    phrase.recut();
    Ok(match filling {
        Filling::Grace(_) => {
            format!("the notes after a gap take grace notes: {}", several(count, "note"))
        }
        Filling::Cells(_) => {
            let cell = gaps.first().map_or(Time::QUARTER, |g| g.1);
            let beat = phrase.beats().first().map_or(Time::QUARTER, |b| b.1);
            let name = cell_name(cell, beat);
            format!("each silent {name} is filled: {}", several(count, "gap"))
        }
    })
}

fn change_taps(phrase: &mut Phrase, taps: &Taps, kit: &Kit) -> Result<String, Obstacle> {
    let count = found(strokes::taps(phrase, taps, kit), "no unaccented note of the hands")?;
    let done = match taps {
        Taps::Diddle => "become diddles".to_owned(),
        Taps::Ghost => "are ghosted".to_owned(),
        Taps::Grace(n) => format!("take {}", several((*n).into(), "grace note")),
        Taps::Drop => "fall away".to_owned(),
        Taps::Move(to) => format!("go to {}", names(kit, to)),
    };
    Ok(format!("the unaccented notes of the hands {done}: {}", several(count, "note")))
}

fn move_to(
    phrase: &mut Phrase,
    from: &Moved,
    to: &[InstrumentId],
    kit: &Kit,
) -> Result<String, Obstacle> {
    let (what, nothing) = match from {
        Moved::Hand(hand) => {
            let side = side(*hand);
            (format!("what the {side} hand plays"), format!("no letter for the {side} hand"))
        }
        Moved::Instruments(own) => (
            format!("what is played on {}", names(kit, own)),
            format!("nothing on {}", names(kit, own)),
        ),
    };
    let count = found(strokes::move_to(phrase, from, to, kit), &nothing)?;
    Ok(format!("{what} goes to {}: {}", names(kit, to), several(count, "note")))
}

fn accent(phrase: &mut Phrase, places: &Places, around: &Surroundings) -> Result<String, Obstacle> {
    let count = strokes::accents(phrase, places, around);
    match places {
        Places::Nowhere => Ok("no note is accented".to_owned()),
        Places::Counts(_) | Places::Every(_) => {
            let count = found(count, "no note at those places")?;
            Ok(format!("the accents stand elsewhere: {}", several(count, "note")))
        }
    }
}

fn lead(phrase: &mut Phrase, hand: Hand) -> Result<String, Obstacle> {
    let side = side(hand);
    let leads = strokes::lead(phrase);
    found(usize::from(leads.is_some()), "no sticking")?;
    if leads == Some(hand) {
        return Ok(format!("the {side} hand leads already"));
    }
    strokes::reverse_sticking(phrase);
    Ok(format!("the {side} hand leads: right and left change places"))
}

fn shift(phrase: &mut Phrase, by: Time) -> String {
    time::shift(phrase, by);
    format!("every note {}; what passes the end begins anew", moved(by))
}

/// In how many parts a subdivision cuts the beats of a phrase.
fn parts_in(phrase: &Phrase, named: Subdivision) -> Result<i64, Obstacle> {
    match phrase.bars.first() {
        Some(bar) => subdivision::parts(named, &bar.meter),
        None => Ok(named.parts().into()),
    }
}

fn rotate(phrase: &mut Phrase, turn: Turn) -> String {
    let by = match turn {
        Turn::Notes(n) => {
            time::rotate_notes(phrase, n);
            several(usize::try_from(n).unwrap_or(0), "note")
        }
        Turn::Beats(n) => {
            let beat = phrase.beats().first().map_or(Time::QUARTER, |b| b.1);
            time::shift(phrase, Time::ZERO - beat * n);
            several(usize::try_from(n).unwrap_or(0), "beat")
        }
        Turn::Time(by) => {
            time::shift(phrase, Time::ZERO - by);
            format!("{by} of a whole note")
        }
    };
    format!("the phrase begins {by} later")
}

fn subdivide(phrase: &mut Phrase, named: Subdivision) -> Result<String, Obstacle> {
    let name = named.name();
    let parts = parts_in(phrase, named)?;
    match time::subdivide(phrase, parts) {
        Ok(1) => Ok(format!("the same notes as {name}")),
        Ok(n) => Ok(format!("the same notes as {name}, {n} times to meet the barline")),
        Err(Unlaid::Mixed) => Err((
            "its beats are divided in different ways, so its notes can't be laid on one other"
                .to_owned(),
            "take a parent of one subdivision".to_owned(),
        )),
        Err(Unlaid::Uneven) => Err((
            "its bars or beats are of different lengths, so its notes can't be laid on another subdivision"
                .to_owned(),
            "take a parent in one time signature and without a pickup".to_owned(),
        )),
    }
}

/// A count that must not be zero; else there is `nothing`, named as `no accent`.
fn found(count: usize, nothing: &str) -> Result<usize, (String, String)> {
    match count {
        0 => Err((
            format!("it has {nothing}"),
            "leave the line out, or bring one in before it".to_owned(),
        )),
        n => Ok(n),
    }
}

fn moved(by: Time) -> String {
    let word = if by < Time::ZERO { "earlier" } else { "later" };
    let by = if by < Time::ZERO { Time::ZERO - by } else { by };
    format!("comes {by} of a whole note {word}")
}

/// How often a cell goes into a time, for words such as `sixteenth`.
fn cell_name(cell: Time, beat: Time) -> String {
    let name = |t: Time| match (t.numerator(), t.denominator()) {
        (1, 2) => Some("half"),
        (1, 4) => Some("quarter"),
        (1, 8) => Some("eighth"),
        (1, 16) => Some("sixteenth"),
        (1, 32) => Some("thirty-second"),
        _ => None,
    };
    if let Some(name) = name(cell) {
        return name.to_owned();
    }
    match beat.ratio(cell) {
        r if r == Ratio::from_integer(3) => "triplet note".to_owned(),
        r if r == Ratio::from_integer(5) => "quintuplet note".to_owned(),
        r if r == Ratio::from_integer(6) => "sextuplet note".to_owned(),
        r if r == Ratio::from_integer(7) => "septuplet note".to_owned(),
        _ => "cell".to_owned(),
    }
}
