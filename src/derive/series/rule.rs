//! What a series goes through: read from its lines, turned into rows.

use crate::derive::series::count;
use crate::derive::series::count::Pattern;
use crate::derive::variation::change::{small, subdivision};

/// Most arrangements gone through before filters.
pub(crate) const MOST_TRIED: usize = 20_000;
/// Most places of a pattern.
const MOST_PLACES: usize = 32;

/// What a series goes through.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Rule {
    /// Accents on some of the notes of these groups.
    Accents { count: usize, groups: Vec<String> },
    /// Notes in some of the cells of a beat or of several.
    Notes { count: usize, cells: usize, letter: String, parts: usize },
    /// Hands of a row of notes.
    Stickings { notes: usize, left: bool, run: usize, parts: usize },
}

/// The order of a series.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) enum Order {
    #[default]
    Written,
    Neighbours,
    Easy,
}

/// One exercise: groups of its pattern, and letters where the rule is about hands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Groups {
    pub(crate) play: Vec<String>,
    pub(crate) stick: Option<Vec<String>>,
}

impl Rule {
    /// Reads the line of a rule; nothing where its word is none. An error says what may be written.
    pub(crate) fn read(key: &str, value: &str) -> Option<Result<Self, String>> {
        Some(match key {
            "accents" if value.contains(" of ") => accents(value).ok_or_else(|| {
                "write how many accents on which notes, as `accents: 2 of ssss`".to_owned()
            }),
            "notes" => notes(value).ok_or_else(|| {
                "write how many of how many cells, as `notes: 3 of 4` or `notes: 3 of 8 sixteenths on kick`, up to 32".to_owned()
            }),
            "stickings" => stickings(value).ok_or_else(|| {
                "write how many notes, up to 32, as `stickings: 8 sixteenths, lead right, at most 2 in a row`".to_owned()
            }),
            _ => return None,
        })
    }

    /// The letter of the instrument it names itself, to be looked up.
    pub(crate) fn instrument(&mut self) -> Option<&mut String> {
        match self {
            Self::Notes { letter, .. } => Some(letter),
            _ => None,
        }
    }

    /// How many arrangements there are, as far as it is known without making them.
    pub(crate) fn size(&self) -> u64 {
        match self {
            Self::Accents { count, groups } => count::binomial(hits(groups), *count),
            Self::Notes { count, cells, .. } => count::binomial(*cells, *count),
            Self::Stickings { notes, run, .. } => {
                count::stickings(*notes, *run, MOST_TRIED + 1).len() as u64
            }
        }
    }

    /// All arrangements in the order asked for. Only choices of places have one by neighbours.
    pub(crate) fn patterns(&self, order: Order) -> Option<Vec<Pattern>> {
        let (n, k) = match self {
            Self::Accents { count, groups } => (hits(groups), *count),
            Self::Notes { count, cells, .. } => (*cells, *count),
            Self::Stickings { notes, run, .. } => {
                let mut all = count::stickings(*notes, *run, MOST_TRIED);
                match order {
                    Order::Neighbours => return None,
                    Order::Easy => all.sort_by_key(|p| count::doubles(p)),
                    Order::Written => {}
                }
                return Some(all);
            }
        };
        Some(match order {
            Order::Neighbours => count::revolving(n, k),
            Order::Written => count::choices(n, k),
            Order::Easy => {
                let mut all = count::choices(n, k);
                let parts = self.parts();
                all.sort_by_key(|p| {
                    let weights = p.iter().enumerate().filter(|(_, m)| **m);
                    weights.map(|(at, _)| weight(at % parts, parts)).sum::<usize>()
                });
                all
            }
        })
    }

    /// Cells of a beat.
    fn parts(&self) -> usize {
        match self {
            Self::Accents { groups, .. } => groups.first().map_or(1, |g| g.len()),
            Self::Notes { parts, .. } | Self::Stickings { parts, .. } => *parts,
        }
        .max(1)
    }

    /// The groups of one arrangement.
    pub(crate) fn groups(&self, pattern: &Pattern) -> Groups {
        match self {
            Self::Accents { groups, .. } => {
                let mut marks = pattern.iter();
                let accented = |c: char| match c {
                    'a'..='z' if marks.next() == Some(&true) => c.to_ascii_uppercase(),
                    _ => c,
                };
                let text: String = groups.join(" ").chars().map(accented).collect();
                Groups { play: text.split(' ').map(str::to_owned).collect(), stick: None }
            }
            Self::Notes { letter, parts, .. } => {
                let cell = |m: &bool| if *m { letter.as_str() } else { "." };
                Groups { play: beats(pattern, *parts, cell), stick: None }
            }
            Self::Stickings { left, parts, .. } => Groups {
                play: beats(pattern, *parts, |_| "s"),
                stick: Some(beats(
                    pattern,
                    *parts,
                    |right| if *right != *left { "R" } else { "L" },
                )),
            },
        }
    }
}

fn beats<'a>(pattern: &[bool], parts: usize, cell: impl Fn(&bool) -> &'a str) -> Vec<String> {
    pattern.chunks(parts.max(1)).map(|beat| beat.iter().map(&cell).collect()).collect()
}

/// How hard a place of a beat is: on it, halfway, elsewhere. Common practice, no source.
fn weight(place: usize, parts: usize) -> usize {
    match place {
        0 => 0,
        p if p * 2 == parts => 1,
        _ => 2,
    }
}

fn hits(groups: &[String]) -> usize {
    groups.iter().flat_map(|g| g.chars()).filter(char::is_ascii_lowercase).count()
}

fn accents(value: &str) -> Option<Rule> {
    let (count, groups) = value.split_once(" of ")?;
    let count = number(count)?;
    let groups: Vec<String> = groups.split_whitespace().map(str::to_owned).collect();
    let plain = |g: &String| g.chars().all(|c| c.is_ascii_lowercase() || c == '.');
    let places = hits(&groups);
    (groups.iter().all(plain) && count <= places && places <= MOST_PLACES && places > 0)
        .then_some(Rule::Accents { count, groups })
}

fn notes(value: &str) -> Option<Rule> {
    let (count, rest) = value.split_once(" of ")?;
    let (cells, letter) = match rest.split_once(" on ") {
        Some((cells, letter)) => (cells, letter.trim()),
        None => (rest, "snare"),
    };
    let (cells, parts) = places(cells)?;
    let count = number(count)?;
    (count <= cells && count > 0).then(|| Rule::Notes {
        count,
        cells,
        letter: letter.to_owned(),
        parts,
    })
}

fn stickings(value: &str) -> Option<Rule> {
    let mut parts = value.split(',').map(str::trim);
    let (notes, cells) = places(parts.next()?)?;
    let (mut left, mut run) = (false, 2);
    for part in parts {
        match part {
            "lead right" => left = false,
            "lead left" => left = true,
            _ => {
                let n = part.strip_prefix("at most ")?.strip_suffix("in a row")?;
                run = number(n).filter(|n| *n > 0)?;
            }
        }
    }
    Some(Rule::Stickings { notes, left, run, parts: cells })
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
        name => subdivision(name)? as usize,
    };
    (count % parts == 0).then_some((count, parts))
}

fn number(text: &str) -> Option<usize> {
    let text = text.trim();
    text.parse().ok().or_else(|| small(text))
}
