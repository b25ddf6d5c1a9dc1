//! Accents at places that are named as in a count row.

use super::phrase::Phrase;
use super::subdivision;
use crate::interpret::counting::{Beat, Counter, Miss, NoPlace};
use crate::interpret::request::{Change, Places};
use crate::interpret::surroundings::Surroundings;
use crate::score::{Meter, Span, Time};
use crate::syntax::values::strokes::AccentPlace;
use std::collections::BTreeSet;

/// A line that accents places.
pub(crate) const EXAMPLE: &str = "accents: on 1 & a 3";

/// A word that names no place of any bar: where it stands, what is wrong with it, and the mend.
pub(crate) type Misnamed = (Span, String, String);

/// The times of places in a phrase, in each of its bars that has them; an example shows how such a line
/// is written.
pub(crate) fn times(
    phrase: &Phrase,
    (places, example): (&[AccentPlace], &str),
    around: &Surroundings,
) -> Result<BTreeSet<Time>, Misnamed> {
    let setup = &around.setup;
    let system = around.systems.get_or_numbers(setup.counting.as_deref());
    let mut times = BTreeSet::new();
    let mut wrong = None;
    let (mut start, mut read) = (Time::ZERO, false);
    for bar in &phrase.bars {
        let counter = Counter::new(system.clone(), &bar.meter, setup.compound, setup.odd);
        let origin = start - bar.offset;
        let parts = |beat: &Beat| {
            let span = phrase.spans.get(phrase.span_at(origin + beat.start)?)?;
            let whole = span.beats == 1 && span.length == beat.length;
            whole.then(|| u32::try_from(span.parts).ok()).flatten()
        };
        match counter.places(places, &parts) {
            Ok(found) => {
                read = true;
                times.extend(found.into_iter().map(|at| origin + at));
            }
            Err(no_place) => {
                let last = counter.last_number();
                wrong.get_or_insert_with(|| told(&no_place, &bar.meter, last, example));
            }
        }
        start += bar.length;
    }
    match wrong {
        Some(wrong) if !read => Err(wrong),
        Some(_) | None => Ok(times),
    }
}

/// Whether a change names places that no bar of a phrase has.
pub(crate) fn check(
    change: &Change,
    phrase: &Phrase,
    around: &Surroundings,
) -> Result<(), Misnamed> {
    match change {
        Change::AccentsAt(Places::Counts(places)) => {
            times(phrase, (places, EXAMPLE), around).map(|_| ())
        }
        Change::AccentsAt(Places::Nowhere | Places::Every(_))
        | Change::Gaps(..)
        | Change::Taps(_)
        | Change::AccentsTo(_)
        | Change::AccentsGrace(_)
        | Change::Skeleton
        | Change::Move(..)
        | Change::ByHand(..)
        | Change::Order(..)
        | Change::Reverse
        | Change::Lead(_)
        | Change::Stick(_)
        | Change::Shift(_)
        | Change::ShiftBeats(_)
        | Change::Rotate(_)
        | Change::Backwards
        | Change::As(_) => Ok(()),
    }
}

fn told(NoPlace { word, why }: &NoPlace, meter: &Meter, last: u32, example: &str) -> Misnamed {
    let said = &word.value;
    let bar = format!("a bar of {}", subdivision::written(meter));
    let (message, mend) = match why {
        Miss::Unknown => (
            format!("`{said}` is not counted in {bar} here"),
            format!("name the places as a count row does, for instance `{example}`, or `e of 2`"),
        ),
        Miss::Again => (
            format!("`{said}` does not come later than the place before it"),
            "name the places in the order in which they are counted".to_owned(),
        ),
        Miss::NoBeat => (
            format!("{bar} has no place for `{said}`"),
            format!("its beats are counted from 1 to {last}"),
        ),
    };
    (word.span, message, mend)
}
