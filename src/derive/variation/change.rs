//! The lines of a variation: what they may say and what they do.

use crate::derive::hands;
use crate::derive::hands::StickRule;
use crate::derive::variation::gaps;
use crate::derive::variation::gaps::Filling;
use crate::derive::variation::phrase::Phrase;
use crate::derive::variation::strokes;
use crate::derive::variation::strokes::{Places, Step, Taps};
use crate::derive::variation::time;
use crate::derive::variation::time::Unlaid;
use crate::derive::variation::write::cell_name;
use crate::interpret::values;
use crate::score::Hand;
use crate::score::kit::InstrumentId;
use crate::score::{Kit, Time};
use crate::source::nearest;
use crate::source::say;

/// Words a variation knows beside the keys of any block.
pub(crate) const WORDS: [&str; 12] = [
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

/// How far a phrase turns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Turn {
    Notes(i64),
    Beats(i64),
    Time(Time),
}

/// One thing that changes.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Change(Kind);

#[derive(Clone, Debug, PartialEq)]
enum Kind {
    Gaps(Filling, Option<i64>),
    Taps(Taps),
    AccentsTo(Vec<InstrumentId>),
    AccentsAt(Places),
    Skeleton,
    ByHand(Hand, InstrumentId),
    Order(Vec<InstrumentId>, Step),
    Reverse,
    Lead(Hand),
    Stick(StickRule),
    Shift(Time),
    Rotate(Turn),
    Backwards,
    As(i64),
}

/// Reads the cells of one beat as they stand in a `play` row.
pub(crate) type Pattern<'a> = &'a dyn Fn(&str) -> Option<Phrase>;

impl Change {
    /// Reads one line; nothing where its word is no change. An error says what may be written.
    pub(crate) fn read(
        key: &str,
        value: &str,
        kit: &Kit,
        pattern: Pattern<'_>,
    ) -> Option<Result<Self, String>> {
        let value = value.trim();
        if key == "sticking" && ["show", "none"].contains(&value) {
            return None;
        }
        let read = match key {
            "gaps" => gaps_of(value, pattern),
            "taps" => taps_of(value, kit),
            "accents" => accents_of(value, kit),
            "right" | "left" => {
                let hand = if key == "right" { Hand::Right } else { Hand::Left };
                instruments(value, kit).and_then(|found| match found.as_slice() {
                    [one] => Ok(Kind::ByHand(hand, *one)),
                    _ => Err(format!("name one drum or cymbal, as `{key}: floor`")),
                })
            }
            "order" => order_of(value, kit),
            "sticking" | "stick" | "lead" => sticking_of(key, value),
            "shift" => shift_of(value),
            "rotate" => rotate_of(value),
            "backwards" => match value {
                "yes" => Ok(Kind::Backwards),
                _ => Err("write `backwards: yes`, or leave the line out".to_owned()),
            },
            "as" => subdivision(value)
                .map(Kind::As)
                .ok_or_else(|| format!("it may be {}", say::choice(SUBDIVISIONS.map(|s| s.0)))),
            _ => return None,
        };
        Some(read.map(Self))
    }

    /// Whether it needs letters to work on, or makes them.
    pub(crate) fn is_about_hands(&self) -> bool {
        matches!(self.0, Kind::ByHand(..) | Kind::Reverse | Kind::Lead(_) | Kind::Stick(_))
    }

    /// Changes a phrase. Returns what was done in plain words; an error is what stands in the way
    /// and its mend.
    pub(crate) fn apply(&self, phrase: &mut Phrase, kit: &Kit) -> Result<String, (String, String)> {
        let name = |id: &InstrumentId| kit.get(*id).map_or("?", |i| i.name.as_str());
        let names = |ids: &[InstrumentId]| say::listed(ids.iter().map(name));
        let several = say::several;
        Ok(match &self.0 {
            Kind::Gaps(filling, parts) => {
                let mut grid = gaps::felt(phrase);
                if let Some(parts) = parts {
                    for span in grid.iter_mut().filter(|s| s.beats == 1) {
                        if parts % span.parts == 0 {
                            span.parts = *parts;
                        }
                    }
                }
                let gaps = gaps::find(phrase, &grid);
                let count = gaps::fill(phrase, &gaps, filling);
                if count == 0 {
                    return Err((
                        "it has no gap to fill".to_owned(),
                        "leave the line out, or say how fine the gaps are, as `gaps: k in sixteenths`"
                            .to_owned(),
                    ));
                }
                phrase.recut();
                match filling {
                    Filling::Grace(_) => format!(
                        "the notes after a gap take grace notes: {}",
                        several(count, "note")
                    ),
                    Filling::Notes(_) => {
                        let cell = gaps.first().map_or(Time::QUARTER, |g| g.1);
                        let beat = phrase.beats().first().map_or(Time::QUARTER, |b| b.1);
                        format!(
                            "each silent {} is filled: {}",
                            cell_name(cell, beat),
                            several(count, "gap")
                        )
                    }
                }
            }
            Kind::Taps(taps) => {
                let count =
                    found(strokes::taps(phrase, taps, kit), "no unaccented note of the hands")?;
                let done = match taps {
                    Taps::Diddle => "become diddles".to_owned(),
                    Taps::Ghost => "are ghosted".to_owned(),
                    Taps::Grace(n) => format!("take {}", several((*n).into(), "grace note")),
                    Taps::Drop => "fall away".to_owned(),
                    Taps::Move(to) => format!("go to {}", names(to)),
                };
                format!("the unaccented notes of the hands {done}: {}", several(count, "note"))
            }
            Kind::AccentsTo(to) => {
                let count =
                    found(strokes::move_accents(phrase, to, kit), "no accent in the hands")?;
                format!("the accents go to {}: {}", names(to), several(count, "note"))
            }
            Kind::AccentsAt(Places::Nowhere) => {
                strokes::accents(phrase, &Places::Nowhere);
                "no note is accented".to_owned()
            }
            Kind::AccentsAt(places) => {
                let count = found(strokes::accents(phrase, places), "no note at those places")?;
                format!("the accents stand elsewhere: {}", several(count, "note"))
            }
            Kind::Skeleton => {
                found(
                    phrase.notes.iter().filter(|n| n.accented()).count(),
                    "no accent in the hands",
                )?;
                let count = strokes::skeleton(phrase);
                format!("only the accents stay: {} fall away", several(count, "note"))
            }
            Kind::ByHand(hand, to) => {
                let word = if *hand == Hand::Right { "right" } else { "left" };
                let count = found(
                    strokes::by_hand(phrase, *hand, *to),
                    &format!("no letter for the {word} hand"),
                )?;
                format!("the {word} hand goes to {}: {}", name(to), several(count, "note"))
            }
            Kind::Order(drums, step) => {
                let count = strokes::order(phrase, drums, *step);
                let step = match step {
                    Step::Beat => "one for each beat",
                    Step::Note => "one for each note",
                    Step::Accent => "on to the next at each accent",
                };
                format!("the hands go round {}, {step}: {}", names(drums), several(count, "note"))
            }
            Kind::Reverse => {
                found(usize::from(strokes::lead(phrase).is_some()), "no sticking")?;
                strokes::reverse_sticking(phrase);
                "right and left change places".to_owned()
            }
            Kind::Lead(hand) => {
                let word = if *hand == Hand::Right { "right" } else { "left" };
                match strokes::lead(phrase) {
                    None => {
                        found(0, "no sticking")?;
                        String::new()
                    }
                    Some(now) if now == *hand => format!("the {word} hand leads already"),
                    Some(_) => {
                        strokes::reverse_sticking(phrase);
                        format!("the {word} hand leads: right and left change places")
                    }
                }
            }
            Kind::Stick(rule) => {
                hands::stick(phrase, kit, *rule);
                rule.told()
            }
            Kind::Shift(by) => {
                time::shift(phrase, *by);
                format!("every note {}; what passes the end begins anew", moved(*by))
            }
            Kind::Rotate(turn) => {
                match turn {
                    Turn::Notes(n) => time::rotate_notes(phrase, *n),
                    Turn::Beats(n) => {
                        let beat = phrase.beats().first().map_or(Time::QUARTER, |b| b.1);
                        time::shift(phrase, Time::ZERO - beat * *n);
                    }
                    Turn::Time(by) => time::shift(phrase, Time::ZERO - *by),
                }
                match turn {
                    Turn::Notes(n) => {
                        format!("the phrase begins {} later", several(*n as usize, "note"))
                    }
                    Turn::Beats(n) => {
                        format!("the phrase begins {} later", several(*n as usize, "beat"))
                    }
                    Turn::Time(by) => format!("the phrase begins {by} of a whole note later"),
                }
            }
            Kind::Backwards => {
                time::reverse(phrase);
                "the last note comes first".to_owned()
            }
            Kind::As(parts) => {
                let name = SUBDIVISIONS.iter().find(|s| s.1 == *parts).map_or("cells", |s| s.0);
                match time::subdivide(phrase, *parts) {
                    Ok(1) => format!("the same notes as {name}"),
                    Ok(n) => format!("the same notes as {name}, {n} times to meet the barline"),
                    Err(Unlaid::Mixed) => {
                        return Err((
                            "its beats are divided in different ways, so its notes can't be laid on one other"
                                .to_owned(),
                            "take a parent of one subdivision".to_owned(),
                        ));
                    }
                    Err(Unlaid::Uneven) => {
                        return Err((
                            "its bars or beats are of different lengths, so its notes can't be laid on another subdivision"
                                .to_owned(),
                            "take a parent in one time signature and without a pickup".to_owned(),
                        ));
                    }
                }
            }
        })
    }
}

/// A count that must not be nought; else there is `nothing`, named as `no accent`.
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

fn gaps_of(value: &str, pattern: Pattern<'_>) -> Result<Kind, String> {
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
        return Ok(Kind::Gaps(Filling::Grace(*grace), parts));
    }
    let cells = if what == "diddle" { "s/" } else { what };
    if cells.contains(char::is_whitespace) || cells.len() > 64 {
        return Err(help.to_owned());
    }
    let found = pattern(cells).ok_or(help)?;
    if found.notes.is_empty() {
        return Err(help.to_owned());
    }
    Ok(Kind::Gaps(Filling::Notes(found.notes), parts))
}

fn taps_of(value: &str, kit: &Kit) -> Result<Kind, String> {
    if let Some((_, grace)) = GRACES.iter().find(|g| g.0 == value) {
        return Ok(Kind::Taps(Taps::Grace(*grace)));
    }
    Ok(Kind::Taps(match value {
        "diddle" | "diddles" => Taps::Diddle,
        "ghost" | "ghosts" => Taps::Ghost,
        "drop" => Taps::Drop,
        _ => Taps::Move(instruments(value, kit).map_err(|e| {
            format!("it may be `diddle`, `ghost`, `flam`, `drag`, `drop` or a drum; {e}")
        })?),
    }))
}

fn accents_of(value: &str, kit: &Kit) -> Result<Kind, String> {
    Ok(match value {
        "drop" | "none" => Kind::AccentsAt(Places::Nowhere),
        "only" => Kind::Skeleton,
        _ => {
            if let Some(words) = value.strip_prefix("on ") {
                return places(words).map(|p| Kind::AccentsAt(Places::Counts(p)));
            }
            if let Some(words) = value.strip_prefix("every ") {
                let n = words.trim_end_matches("notes").trim_end_matches("note").trim();
                return n
                    .parse()
                    .ok()
                    .or_else(|| small(n))
                    .filter(|n| (1..=64).contains(n))
                    .map(|n| Kind::AccentsAt(Places::Every(n)))
                    .ok_or_else(|| "write for instance `accents: every 3 notes`".to_owned());
            }
            Kind::AccentsTo(instruments(value, kit).map_err(|e| {
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

fn order_of(value: &str, kit: &Kit) -> Result<Kind, String> {
    let (drums, step) = match value.rsplit_once(" by ") {
        Some((drums, "note" | "notes")) => (drums, Step::Note),
        Some((drums, "beat" | "beats")) => (drums, Step::Beat),
        Some((drums, "accent" | "accents")) => (drums, Step::Accent),
        Some(_) => {
            return Err("after `by` stands `beat`, `note` or `accent`".to_owned());
        }
        None => (value, Step::Beat),
    };
    Ok(Kind::Order(instruments(drums, kit)?, step))
}

fn sticking_of(key: &str, value: &str) -> Result<Kind, String> {
    let hand = |word: &str| match word {
        "right" => Some(Hand::Right),
        "left" => Some(Hand::Left),
        _ => None,
    };
    if key == "lead" {
        return hand(value).map(Kind::Lead).ok_or("it may be `right` or `left`".to_owned());
    }
    if value == "reverse" {
        return Ok(Kind::Reverse);
    }
    match StickRule::read(value) {
        Ok(Some(rule)) => Ok(Kind::Stick(rule)),
        Ok(None) => Err("a variation keeps its parent's letters; leave the line out".to_owned()),
        Err(may_be) => Err(format!("{may_be}; or `reverse`")),
    }
}

fn shift_of(value: &str) -> Result<Kind, String> {
    let help = "write a note value, as `shift: one sixteenth`, `shift: dotted eighth` or `shift: one eighth earlier`";
    let (value, back) = match value.strip_suffix("earlier").or(value.strip_prefix("back ")) {
        Some(rest) => (rest, true),
        None => (value.strip_suffix("later").unwrap_or(value), false),
    };
    let time = length(value.trim()).ok_or(help)?;
    Ok(Kind::Shift(if back { Time::ZERO - time } else { time }))
}

fn rotate_of(value: &str) -> Result<Kind, String> {
    let help = "write how much comes to the end, as `rotate: 3 notes`, `rotate: one beat` or `rotate: one eighth`";
    let (count, unit) = value.split_once(' ').unwrap_or(("1", value));
    let number = count.parse().ok().or_else(|| small(count)).filter(|n| (1..=999).contains(n));
    Ok(Kind::Rotate(match (number, unit.trim()) {
        (Some(n), "note" | "notes") => Turn::Notes(n as i64),
        (Some(n), "beat" | "beats") => Turn::Beats(n as i64),
        _ => Turn::Time(length(value).ok_or(help)?),
    }))
}

/// A note value with a number of them before it: `3 sixteenths`, `one eighth`, `1/16`.
pub(crate) fn length(text: &str) -> Option<Time> {
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
pub(crate) fn small(word: &str) -> Option<usize> {
    (1..=12).find(|n| say::number(*n) == word)
}

pub(crate) fn subdivision(name: &str) -> Option<i64> {
    SUBDIVISIONS.iter().find(|s| s.0 == name || s.0.trim_end_matches('s') == name).map(|s| s.1)
}

/// Drums and cymbals by name or letter, joined by spaces, commas, `with`, `and` or `+`.
pub(crate) fn instruments(text: &str, kit: &Kit) -> Result<Vec<InstrumentId>, String> {
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
