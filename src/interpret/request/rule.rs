//! The line that says what a series goes through.

use super::change::{instruments, small, subdivision};
use crate::score::kit::InstrumentId;
use crate::score::{Hand, Kit};

/// Most places of a pattern.
const MOST_PLACES: usize = 32;

/// What a series goes through.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Rule {
    /// Accents on some of the notes of some groups.
    Accents {
        /// How many accents.
        count: usize,
        /// The cells of each group: an instrument, or silence.
        groups: Vec<Vec<Option<InstrumentId>>>,
    },
    /// Notes in some of the cells of a beat or of several.
    Notes(Notes),
    /// Hands of a row of notes.
    Stickings(Hands),
}

/// Notes in some of some cells.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Notes {
    /// How many notes.
    pub(crate) count: usize,
    /// How many cells.
    pub(crate) cells: usize,
    /// What is struck.
    pub(crate) instruments: Vec<InstrumentId>,
    /// Cells of a beat.
    pub(crate) parts: usize,
}

/// Hands of a row of notes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Hands {
    /// How many notes.
    pub(crate) notes: usize,
    /// The hand that begins.
    pub(crate) lead: Hand,
    /// Most strokes of one hand in a row.
    pub(crate) run: usize,
    /// Notes of a beat.
    pub(crate) parts: usize,
}

/// The order of a series.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) enum Order {
    /// The earliest places first.
    #[default]
    Written,
    /// Each differs from the one before by one move.
    Neighbours,
    /// The easiest first.
    Easy,
}

impl Rule {
    /// Reads the line of a rule; nothing where its word is none. An error says what may be written.
    pub(super) fn read(key: &str, value: &str, kit: &Kit) -> Option<Result<Self, String>> {
        Some(match key {
            "accents" if value.contains(" of ") => accents(value, kit),
            "notes" => notes(value, kit),
            "stickings" => stickings(value).map(Self::Stickings).ok_or_else(|| {
                "write how many notes, up to 32, as `stickings: 8 sixteenths, lead right, at most 2 in a row`".to_owned()
            }),
            _ => return None,
        })
    }
}

fn accents(value: &str, kit: &Kit) -> Result<Rule, String> {
    let help = || "write how many accents on which notes, as `accents: 2 of ssss`".to_owned();
    let (count, groups) = value.split_once(" of ").ok_or_else(help)?;
    let count = number(count).ok_or_else(help)?;
    let plain = |c: char| c.is_ascii_lowercase() || c == '.';
    let words: Vec<&str> = groups.split_whitespace().collect();
    let places = words.iter().flat_map(|g| g.chars()).filter(char::is_ascii_lowercase).count();
    let fits = (1..=MOST_PLACES).contains(&places) && count <= places;
    if !fits || !words.iter().all(|g| g.chars().all(plain)) {
        return Err(help());
    }
    let cell = |c: char| match c {
        '.' => Ok(None),
        letter => kit.by_letter(letter).map(Some).ok_or_else(|| {
            format!("the kit has no letter `{letter}`; write its letters as in a `play` row")
        }),
    };
    let groups = words.iter().map(|g| g.chars().map(cell).collect()).collect::<Result<_, _>>()?;
    Ok(Rule::Accents { count, groups })
}

fn notes(value: &str, kit: &Kit) -> Result<Rule, String> {
    let help = || {
        "write how many of how many cells, as `notes: 3 of 4` or `notes: 3 of 8 sixteenths on kick`, up to 32".to_owned()
    };
    let (count, rest) = value.split_once(" of ").ok_or_else(help)?;
    let (cells, names) = rest.split_once(" on ").unwrap_or((rest, ""));
    let (cells, parts) = places(cells).ok_or_else(help)?;
    let count = number(count).filter(|n| (1..=cells).contains(n)).ok_or_else(help)?;
    let instruments = match names.trim() {
        "" => vec![kit.snare()],
        names => instruments(names, kit)?,
    };
    Ok(Rule::Notes(Notes { count, cells, instruments, parts }))
}

fn stickings(value: &str) -> Option<Hands> {
    let mut words = value.split(',').map(str::trim);
    let (notes, parts) = places(words.next()?)?;
    let mut hands = Hands { notes, lead: Hand::Right, run: 2, parts };
    for word in words {
        match word {
            "lead right" => hands.lead = Hand::Right,
            "lead left" => hands.lead = Hand::Left,
            _ => {
                let run = word.strip_prefix("at most ")?.strip_suffix("in a row")?;
                hands.run = number(run).filter(|n| *n > 0)?;
            }
        }
    }
    Some(hands)
}

/// `8 sixteenths`, `4`, `6 notes`: how many, and how many of them to a beat.
fn places(text: &str) -> Option<(usize, usize)> {
    let text = text.trim();
    let (count, name) = text.split_once(' ').unwrap_or((text, "notes"));
    let count = number(count).filter(|n| (1..=MOST_PLACES).contains(n))?;
    let parts = match name.trim() {
        "notes" | "cells" if count <= 8 && count % 4 != 0 => count,
        "notes" | "cells" if count % 4 == 0 => 4,
        "notes" | "cells" if count % 3 == 0 => 3,
        name => usize::try_from(subdivision(name)?).ok()?,
    };
    (count % parts == 0).then_some((count, parts))
}

fn number(text: &str) -> Option<usize> {
    let text = text.trim();
    text.parse().ok().or_else(|| small(text))
}
