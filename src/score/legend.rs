//! What a notation key explains: each instrument that is played and each sign that is used.

use super::kit::{Family, Head, Instrument, Limb, Opening};
use super::settings::{Staff, StickingPlace};
use super::{Hit, PlayerPart, Strike};
use super::{Item, Score};
use crate::score::{Accent, Hand};

/// All that a file's notation key shows.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Legend {
    /// The staff it is set on: the one with the most lines of those in use.
    pub staff: Option<Staff>,
    /// Whether grace notes are slurred to their note.
    pub grace_slurs: bool,
    /// The instruments, from the lowest place on the staff to the highest.
    pub instruments: Vec<LegendEntry>,
    /// The signs.
    pub signs: Vec<LegendEntry>,
}

/// A note and what it is called.
#[derive(Clone, Debug, PartialEq)]
pub struct LegendEntry {
    /// What is struck.
    pub instrument: Instrument,
    /// The sign on it.
    pub sign: Option<Sign>,
    /// Its name.
    pub name: String,
}

/// A sign of a note, in the order of the key.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sign {
    /// An accent.
    Accent,
    /// A strong accent.
    Marcato,
    /// A dot: short.
    Short,
    /// A dash: held to its full length.
    Held,
    /// Ghost brackets.
    Ghost,
    /// So many grace notes.
    Grace(u8),
    /// So many strokes through the stem.
    Strokes(u8),
    /// A buzz.
    Buzz,
    /// A choked cymbal.
    Choke,
    /// A question mark.
    Unclear,
    /// How open the hi-hat is; the instrument's own sign.
    Opening(Opening),
    /// A letter of the hands.
    Hand(Hand),
    /// A letter of the feet.
    Foot(Hand),
}

/// Every sign with its plain name (common practice, no source), in the order of the key.
const SIGNS: [(Sign, &str); 22] = [
    (Sign::Accent, "accent"),
    (Sign::Marcato, "strong accent"),
    (Sign::Short, "short"),
    (Sign::Held, "held"),
    (Sign::Ghost, "ghost note"),
    (Sign::Grace(1), "flam"),
    (Sign::Grace(2), "drag"),
    (Sign::Grace(3), "ruff"),
    (Sign::Strokes(1), "diddle: two strokes"),
    (Sign::Strokes(2), "roll: four strokes"),
    (Sign::Strokes(3), "roll: eight strokes"),
    (Sign::Buzz, "buzz"),
    (Sign::Choke, "choked"),
    (Sign::Unclear, "not heard for certain"),
    (Sign::Opening(Opening::Closed), "closed hi-hat"),
    (Sign::Opening(Opening::Half), "half-open hi-hat"),
    (Sign::Opening(Opening::Open), "open hi-hat"),
    (Sign::Hand(Hand::Right), "right hand"),
    (Sign::Hand(Hand::Left), "left hand"),
    (Sign::Hand(Hand::Both), "both hands"),
    (Sign::Foot(Hand::Right), "right foot"),
    (Sign::Foot(Hand::Left), "left foot"),
];

/// What a score uses. A sign of any instrument is shown on the snare where that is played, otherwise
/// on the first instrument that has it.
pub fn of(score: &Score) -> Legend {
    let mut legend = Legend::default();
    let mut carriers: [Option<Instrument>; SIGNS.len()] = Default::default();
    let blocks = || score.items.iter().filter_map(Item::block);
    let lines = |staff: Staff| match staff {
        Staff::FiveLines => 5,
        Staff::OneLine => 1,
        Staff::NoLine => 0,
    };
    let parts = || blocks().flat_map(|block| block.parts());
    legend.staff = parts().map(|part| part.settings.staff).max_by_key(|staff| lines(*staff));
    for part in parts() {
        legend.grace_slurs |= part.settings.grace_slurs;
        legend.take(part, &mut carriers);
    }
    let place = |entry: &LegendEntry| match legend.staff {
        Some(Staff::FiveLines) => entry.instrument.position,
        Some(Staff::OneLine | Staff::NoLine) | None => entry.instrument.one_line,
    };
    legend.instruments.sort_by_key(place);
    let snare = legend.instruments.iter().find(|entry| {
        entry.instrument.family == Family::Snare && entry.instrument.head == Head::Normal
    });
    let snare = snare.map(|entry| entry.instrument.clone());
    legend.signs = SIGNS
        .iter()
        .zip(carriers)
        .filter_map(|((sign, name), instrument)| {
            let first = instrument?;
            let name = match sign {
                Sign::Opening(_) => first.spoken.clone(),
                Sign::Accent
                | Sign::Marcato
                | Sign::Short
                | Sign::Held
                | Sign::Ghost
                | Sign::Grace(_)
                | Sign::Strokes(_)
                | Sign::Buzz
                | Sign::Choke
                | Sign::Unclear
                | Sign::Hand(_)
                | Sign::Foot(_) => (*name).to_owned(),
            };
            let own = matches!(sign, Sign::Opening(_) | Sign::Choke | Sign::Foot(_));
            let instrument = snare.clone().filter(|_| !own).unwrap_or(first);
            Some(LegendEntry { instrument, sign: Some(*sign), name })
        })
        .collect();
    legend
}

impl Legend {
    fn take(&mut self, part: &PlayerPart, carriers: &mut [Option<Instrument>; SIGNS.len()]) {
        for bar in &part.bars {
            for hit in bar.upper.hits.iter().chain(&bar.lower.hits) {
                for strike in &hit.strikes {
                    let Some(instrument) = part.kit.get(strike.instrument) else { continue };
                    self.play(instrument);
                    for ((sign, _), carrier) in SIGNS.iter().zip(&mut *carriers) {
                        if shows(*sign, hit, strike, instrument) {
                            carrier.get_or_insert_with(|| instrument.clone());
                        }
                    }
                }
            }
            if part.settings.sticking == StickingPlace::Hidden {
                continue;
            }
            let hands = bar.sticking.iter().map(|s| (Sign::Hand(s.hand), Limb::Hands, s.at));
            let feet = bar.pedalling.iter().map(|s| (Sign::Foot(s.hand), Limb::Feet, s.at));
            for (letter, limb, at) in hands.chain(feet) {
                let hits = bar.upper.hits.iter().chain(&bar.lower.hits).filter(|hit| hit.at == at);
                let mut strikes = hits.flat_map(|hit| &hit.strikes);
                let strike = strikes.find(|strike| part.kit.limb(strike.instrument) == limb);
                let Some(instrument) = strike.and_then(|s| part.kit.get(s.instrument)) else {
                    continue;
                };
                let slot = SIGNS.iter().position(|(sign, _)| *sign == letter);
                if let Some(carrier) = slot.and_then(|slot| carriers.get_mut(slot)) {
                    carrier.get_or_insert_with(|| instrument.clone());
                }
            }
        }
    }

    /// An instrument that is told by its sign alone is named among the signs.
    fn play(&mut self, instrument: &Instrument) {
        let same = |entry: &LegendEntry| looks_alike(&entry.instrument, instrument);
        if instrument.opening.is_none() && !self.instruments.iter().any(same) {
            let name = instrument.spoken.clone();
            self.instruments.push(LegendEntry { instrument: instrument.clone(), sign: None, name });
        }
    }
}

/// Whether two instruments have one name and are drawn as one.
fn looks_alike(a: &Instrument, b: &Instrument) -> bool {
    let seen = |i: &Instrument| (i.name.clone(), i.position, i.one_line, i.head, i.on_stem);
    seen(a) == seen(b)
}

fn shows(sign: Sign, hit: &Hit, strike: &Strike, instrument: &Instrument) -> bool {
    match sign {
        Sign::Accent => strike.accent == Accent::Accent,
        Sign::Marcato => strike.accent == Accent::Marcato,
        Sign::Short => hit.touch.staccato,
        Sign::Held => hit.touch.tenuto,
        Sign::Ghost => strike.ghost,
        Sign::Grace(count) => hit.grace.count() == count,
        Sign::Strokes(count) => hit.strokes == count && !hit.buzz,
        Sign::Buzz => hit.buzz,
        Sign::Choke => strike.choked,
        Sign::Unclear => hit.touch.unclear,
        Sign::Opening(opening) => instrument.opening == Some(opening),
        Sign::Hand(_) | Sign::Foot(_) => false,
    }
}
