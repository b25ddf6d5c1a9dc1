//! Drums, signs and places as a drummer says them.

use crate::interpret::counting::{Beat, Counter, CountingSystem};
use crate::score::kit::Instrument;
use crate::score::{Accent, Bar, Hand, Hit, Sticking, Strike, Time};
use crate::source::say;
use std::sync::Arc;

/// What an instrument is called: `snare`, `high tom`, `hi-hat`.
pub fn instrument(instrument: &Instrument) -> String {
    let short = instrument.spoken.strip_prefix(instrument.name.as_str());
    match short {
        Some(" drum" | " cymbal") => instrument.name.clone(),
        Some(_) | None => instrument.spoken.clone(),
    }
}

/// How a strike of a hit is played beyond the ordinary: `accented`, `flam`, `buzz`.
pub fn signs(hit: &Hit, strike: &Strike) -> Vec<String> {
    let touch = &hit.touch;
    let accent = match strike.accent {
        Accent::None => None,
        Accent::Accent => Some("accented"),
        Accent::Marcato => Some("strongly accented"),
    };
    let grace = match hit.grace.count() {
        0 => None,
        1 => Some("flam"),
        2 => Some("drag"),
        _ => Some("ruff"),
    };
    let strokes = match hit.strokes {
        0 => None,
        1 => Some("diddle"),
        2 => Some("roll of four strokes"),
        _ => Some("roll of eight strokes"),
    };
    let plain = [
        (strike.ghost, "ghosted"),
        (hit.buzz, "buzz"),
        (strike.choked, "choked"),
        (touch.staccato, "short"),
        (touch.tenuto, "held to its full length"),
        (touch.rings, "left to ring"),
        (hit.tied, "tied into the next hit"),
        (touch.unclear, "not heard for certain"),
    ];
    let plain = plain.into_iter().filter(|(said, _)| *said).map(|(_, word)| word);
    let strokes = strokes.filter(|_| touch.roll.is_none());
    let words = accent.into_iter().chain(grace).chain(strokes).chain(plain).map(str::to_owned);
    let roll = touch.roll.map(|count| format!("roll of {} strokes", say::number(count.into())));
    words.chain(roll).collect()
}

/// The hand of a letter: `right hand`, `left hand, or the right`.
pub fn hand(letter: &Sticking, foot: bool) -> String {
    let limb = if foot { ("foot", "feet") } else { ("hand", "hands") };
    let first = match letter.hand {
        Hand::Right => format!("right {}", limb.0),
        Hand::Left => format!("left {}", limb.0),
        Hand::Both => format!("both {}", limb.1),
    };
    match letter.other {
        Some(Hand::Right) => format!("{first}, or the right"),
        Some(Hand::Left) => format!("{first}, or the left"),
        Some(Hand::Both) => format!("{first}, or both"),
        None => first,
    }
}

/// Where in its bar something is: `beat 2`, `the e of 2`, `the third of five in 2`.
pub fn place(bar: &Bar, at: Time) -> String {
    let system = Arc::new(CountingSystem::numbers());
    let counter = Counter::new(system, &bar.meter, None, None);
    let at = at + bar.offset;
    let beats = counter.beats();
    let Some(beat) = beats.iter().rev().find(|beat| beat.start <= at) else {
        return "the start of the bar".to_owned();
    };
    if at == beat.start {
        return format!("beat {}", beat.number);
    }
    within(&counter, beat, at)
}

fn within(counter: &Counter, beat: &Beat, at: Time) -> String {
    let part = (at - beat.start).ratio(beat.length);
    let (Ok(parts), Ok(index)) = (u32::try_from(*part.denom()), u32::try_from(*part.numer()))
    else {
        return format!("inside of beat {}", beat.number);
    };
    match counter.word(beat, parts, index) {
        Some(word) if !word.chars().all(|c| c.is_ascii_digit()) => {
            format!("the {word} of {}", beat.number)
        }
        _ => {
            let nth = say::ordinal(index as usize + 1);
            format!("the {nth} of {} in beat {}", say::number(parts as usize), beat.number)
        }
    }
}
