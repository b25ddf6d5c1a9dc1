//! The lines of a variation: what they may say.

use super::pattern::Pattern;
use crate::interpret::{stick_rule, values};
use crate::score::kit::InstrumentId;
use crate::score::settings::StickRule;
use crate::score::{Hand, Kit, Time};
use crate::source::{nearest, say};

/// Words a variation knows beside the keys of any block.
pub(super) const WORDS: [&str; 12] = [
    "gaps",
    "taps",
    "accents",
    "right",
    "left",
    "order",
    "sticking",
    "lead",
    "shift",
    "rotate",
    "backwards",
    "as",
];

/// Grace notes by name.
const GRACES: [(&str, u8); 3] = [("flam", 1), ("drag", 2), ("ruff", 3)];

/// Subdivisions by name: parts of a beat.
const SUBDIVISIONS: [(&str, i64); 8] = [
    ("quarters", 1),
    ("eighths", 2),
    ("triplets", 3),
    ("sixteenths", 4),
    ("quintuplets", 5),
    ("sextuplets", 6),
    ("septuplets", 7),
    ("thirty-seconds", 8),
];

/// What goes into a gap.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Filling {
    /// Grace notes that lead into the note after the gap.
    Grace(u8),
    /// Cells, as if the gap were a beat.
    Cells(Pattern),
}

/// What happens to the taps: the notes of the hands that are neither accented nor ghosted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Taps {
    Diddle,
    Ghost,
    Grace(u8),
    Drop,
    Move(Vec<InstrumentId>),
}

/// Which notes are accented.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Places {
    /// None.
    Nowhere,
    /// Those at these places of a beat: the beat's number from zero, or every beat; and how far
    /// into it.
    Counts(Vec<(Option<usize>, Time)>),
    /// The first and every so many notes after it.
    Every(usize),
}

/// When an order of drums goes on to its next.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Step {
    Beat,
    Note,
    Accent,
}

/// How far a phrase turns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Turn {
    Notes(i64),
    Beats(i64),
    Time(Time),
}

/// One thing that changes.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Change {
    /// Silent cells are filled, of a beat in so many parts where that is said.
    Gaps(Filling, Option<i64>),
    /// Something happens to the taps.
    Taps(Taps),
    /// What is accented goes to other instruments.
    AccentsTo(Vec<InstrumentId>),
    /// Other notes are accented.
    AccentsAt(Places),
    /// Only the accents stay.
    Skeleton,
    /// A hand goes to an instrument.
    ByHand(Hand, InstrumentId),
    /// The hands go from drum to drum.
    Order(Vec<InstrumentId>, Step),
    /// Right and left change places.
    Reverse,
    /// A hand leads.
    Lead(Hand),
    /// The hands are told apart by a rule.
    Stick(StickRule),
    /// Every note comes later, or earlier where it is below zero.
    Shift(Time),
    /// The phrase begins later.
    Rotate(Turn),
    /// The last note comes first.
    Backwards,
    /// The same notes in another subdivision: parts of a beat.
    As(i64),
}

impl Change {
    /// Reads one line; nothing where its word is no change. An error says what may be written.
    pub(crate) fn read(key: &str, value: &str, kit: &Kit) -> Option<Result<Self, String>> {
        let value = value.trim();
        if key == "sticking" && ["show", "none"].contains(&value) {
            return None;
        }
        let read = match key {
            "gaps" => gaps_of(value, kit),
            "taps" => taps_of(value, kit),
            "accents" => accents_of(value, kit),
            "right" | "left" => {
                let hand = if key == "right" { Hand::Right } else { Hand::Left };
                instruments(value, kit).and_then(|found| match found.as_slice() {
                    [one] => Ok(Change::ByHand(hand, *one)),
                    _ => Err(format!("name one drum or cymbal, as `{key}: floor`")),
                })
            }
            "order" => order_of(value, kit),
            "sticking" | "stick" | "lead" => sticking_of(key, value),
            "shift" => shift_of(value),
            "rotate" => rotate_of(value),
            "backwards" => match value {
                "yes" => Ok(Change::Backwards),
                _ => Err("write `backwards: yes`, or leave the line out".to_owned()),
            },
            "as" => subdivision(value)
                .map(Change::As)
                .ok_or_else(|| format!("it may be {}", say::choice(SUBDIVISIONS.map(|s| s.0)))),
            _ => return None,
        };
        Some(read)
    }
}

fn gaps_of(value: &str, kit: &Kit) -> Result<Change, String> {
    let help = "write what goes into each silent cell: cells such as `k`, `kk` or `(s)`, `diddle`, or `flam`, `drag` or `ruff` for grace notes that lead out of the gap";
    let (what, parts) = match value.split_once(" in ") {
        Some((what, name)) => {
            let parts = subdivision(name.trim()).ok_or_else(|| {
                format!("after `in` stands one of {}", say::choice(SUBDIVISIONS.map(|s| s.0)))
            })?;
            (what.trim(), Some(parts))
        }
        None => (value, None),
    };
    if let Some((_, grace)) = GRACES.iter().find(|g| g.0 == what) {
        return Ok(Change::Gaps(Filling::Grace(*grace), parts));
    }
    let cells = if what == "diddle" { "s/" } else { what };
    if cells.contains(char::is_whitespace) || cells.len() > 64 {
        return Err(help.to_owned());
    }
    let found =
        Pattern::read(cells, kit).filter(|p| p.beats() == 1 && !p.is_silent()).ok_or(help)?;
    Ok(Change::Gaps(Filling::Cells(found), parts))
}

fn taps_of(value: &str, kit: &Kit) -> Result<Change, String> {
    if let Some((_, grace)) = GRACES.iter().find(|g| g.0 == value) {
        return Ok(Change::Taps(Taps::Grace(*grace)));
    }
    Ok(Change::Taps(match value {
        "diddle" | "diddles" => Taps::Diddle,
        "ghost" | "ghosts" => Taps::Ghost,
        "drop" => Taps::Drop,
        _ => Taps::Move(instruments(value, kit).map_err(|e| {
            format!("it may be `diddle`, `ghost`, `flam`, `drag`, `drop` or a drum; {e}")
        })?),
    }))
}

fn accents_of(value: &str, kit: &Kit) -> Result<Change, String> {
    Ok(match value {
        "drop" | "none" => Change::AccentsAt(Places::Nowhere),
        "only" => Change::Skeleton,
        _ => {
            if let Some(words) = value.strip_prefix("on ") {
                return places(words).map(|p| Change::AccentsAt(Places::Counts(p)));
            }
            if let Some(words) = value.strip_prefix("every ") {
                let n = words.trim_end_matches("notes").trim_end_matches("note").trim();
                return n
                    .parse()
                    .ok()
                    .or_else(|| small(n))
                    .filter(|n| (1..=64).contains(n))
                    .map(|n| Change::AccentsAt(Places::Every(n)))
                    .ok_or_else(|| "write for instance `accents: every 3 notes`".to_owned());
            }
            Change::AccentsTo(instruments(value, kit).map_err(|e| {
                format!("it may be `drop`, `only`, `on 1 & a`, `every 3 notes`, or drums to move them to, as `crash with kick`; {e}")
            })?)
        }
    })
}

/// Counts such as `1 & a 3`: a number names its beat, the words after it places in that beat; words
/// before any number hold in every beat.
fn places(words: &str) -> Result<Vec<(Option<usize>, Time)>, String> {
    let mut beat = None;
    let mut found = Vec::new();
    for word in words.split_whitespace() {
        let into = match word {
            "e" => Time::new(1, 4),
            "&" | "+" | "and" => Time::new(1, 2),
            "a" => Time::new(3, 4),
            "trip" => Time::new(1, 3),
            "let" => Time::new(2, 3),
            _ => {
                let number: usize =
                    word.parse().ok().filter(|n| (1..=64).contains(n)).ok_or_else(|| {
                        format!("`{word}` is no count; write for instance `accents: on 1 & a 3`")
                    })?;
                beat = Some(number - 1);
                Time::ZERO
            }
        };
        found.push((beat, into));
    }
    if found.is_empty() {
        return Err("write for instance `accents: on 1 & a 3`".to_owned());
    }
    Ok(found)
}

fn order_of(value: &str, kit: &Kit) -> Result<Change, String> {
    let (drums, step) = match value.rsplit_once(" by ") {
        Some((drums, "note" | "notes")) => (drums, Step::Note),
        Some((drums, "beat" | "beats")) => (drums, Step::Beat),
        Some((drums, "accent" | "accents")) => (drums, Step::Accent),
        Some(_) => {
            return Err("after `by` stands `beat`, `note` or `accent`".to_owned());
        }
        None => (value, Step::Beat),
    };
    Ok(Change::Order(instruments(drums, kit)?, step))
}

fn sticking_of(key: &str, value: &str) -> Result<Change, String> {
    let hand = |word: &str| match word {
        "right" => Some(Hand::Right),
        "left" => Some(Hand::Left),
        _ => None,
    };
    if key == "lead" {
        return hand(value).map(Change::Lead).ok_or("it may be `right` or `left`".to_owned());
    }
    if value == "reverse" {
        return Ok(Change::Reverse);
    }
    match stick_rule::read(value) {
        Ok(Some(rule)) => Ok(Change::Stick(rule)),
        Ok(None) => Err("a variation keeps its parent's letters; leave the line out".to_owned()),
        Err(may_be) => Err(format!("{may_be}; or `reverse`")),
    }
}

fn shift_of(value: &str) -> Result<Change, String> {
    let help = "write a note value, as `shift: one sixteenth`, `shift: dotted eighth` or `shift: one eighth earlier`";
    let (value, back) = match value.strip_suffix("earlier").or(value.strip_prefix("back ")) {
        Some(rest) => (rest, true),
        None => (value.strip_suffix("later").unwrap_or(value), false),
    };
    let time = length(value.trim()).ok_or(help)?;
    Ok(Change::Shift(if back { Time::ZERO - time } else { time }))
}

fn rotate_of(value: &str) -> Result<Change, String> {
    let help = "write how much comes to the end, as `rotate: 3 notes`, `rotate: one beat` or `rotate: one eighth`";
    let (count, unit) = value.split_once(' ').unwrap_or(("1", value));
    let number = count.parse().ok().or_else(|| small(count)).filter(|n| (1..=999).contains(n));
    Ok(Change::Rotate(match (number, unit.trim()) {
        (Some(n), "note" | "notes") => Turn::Notes(n as i64),
        (Some(n), "beat" | "beats") => Turn::Beats(n as i64),
        _ => Turn::Time(length(value).ok_or(help)?),
    }))
}

/// A note value with a number of them before it: `3 sixteenths`, `one eighth`, `1/16`.
fn length(text: &str) -> Option<Time> {
    if let Some(time) = values::note(text) {
        return Some(time);
    }
    let (count, name) = text.split_once(' ')?;
    let count: usize = match count {
        "a" | "an" => 1,
        _ => count.parse().ok().or_else(|| small(count))?,
    };
    (1..=64).contains(&count).then_some(())?;
    Some(values::note(name.trim())? * count as i64)
}

/// A small number in words.
pub(super) fn small(word: &str) -> Option<usize> {
    (1..=12).find(|n| say::number(*n) == word)
}

pub(super) fn subdivision(name: &str) -> Option<i64> {
    SUBDIVISIONS.iter().find(|s| s.0 == name || s.0.trim_end_matches('s') == name).map(|s| s.1)
}

/// Drums and cymbals by name or letter, joined by spaces, commas, `with`, `and` or `+`.
pub(super) fn instruments(text: &str, kit: &Kit) -> Result<Vec<InstrumentId>, String> {
    let words = text.split(|c: char| c.is_whitespace() || c == ',' || c == '+');
    let mut found = Vec::new();
    for word in words.filter(|w| !w.is_empty() && !["with", "and", "then"].contains(w)) {
        let mut letters = word.chars();
        let letter = letters.next().filter(|_| word.len() == 1);
        let id = kit.by_name(word).or_else(|| letter.and_then(|l| kit.by_letter(l))).ok_or_else(
            || {
                let names = kit.instruments.iter().map(|i| i.name.as_str());
                match nearest(word, names) {
                    Some(near) => format!("did you mean `{near}`?"),
                    None => {
                        format!("the kit has no `{}`", word.chars().take(24).collect::<String>())
                    }
                }
            },
        )?;
        found.push(id);
    }
    if found.is_empty() || found.len() > 64 {
        return Err("name drums or cymbals, as `snare tom1 floor`".to_owned());
    }
    Ok(found)
}

/// What so many parts of a beat are called; `cells` where they have no name.
pub(crate) fn subdivision_name(parts: i64) -> &'static str {
    SUBDIVISIONS.iter().find(|s| s.1 == parts).map_or("cells", |s| s.0)
}
