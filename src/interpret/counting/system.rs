//! Counting systems as data.

use super::beat::Beat;
use std::sync::Arc;

/// Stands for the beat's number in a table.
const NUMBER: &str = "#";
/// Stands for a part that has no name.
const SILENT: &str = ".";

type SyllableRows = [(u32, &'static [&'static str])];

/// `1 e & a`, `1 trip let`; fives, sixes and sevens from the beat's number. Common practice, no
/// source.
const NUMBERS: &SyllableRows = &[
    (1, &["#"]),
    (2, &["#", "&"]),
    (3, &["#", "trip", "let"]),
    (4, &["#", "e", "&", "a"]),
    (5, &["#", "2", "3", "4", "5"]),
    (6, &["#", "2", "3", "4", "5", "6"]),
    (7, &["#", "2", "3", "4", "5", "6", "7"]),
];

/// The same in dotted beats: `1 & a`. Common practice, no source.
const NUMBERS_DOTTED: &SyllableRows = &[
    (1, &["#"]),
    (3, &["#", "&", "a"]),
    (5, &["#", "2", "3", "4", "5"]),
    (7, &["#", "2", "3", "4", "5", "6", "7"]),
];

/// Takadimi: Hoffman, Pelto and White, *Takadimi: A Beat-Oriented System of Rhythm Pedagogy*,
/// Journal of Music Theory Pedagogy 10 (1996), from memory.
const TAKADIMI: &SyllableRows = &[
    (1, &["ta"]),
    (2, &["ta", "di"]),
    (3, &["ta", "ki", "da"]),
    (4, &["ta", "ka", "di", "mi"]),
    (5, &["ta", "ka", "di", "mi", "ti"]),
    (6, &["ta", "va", "ki", "di", "da", "ma"]),
    (7, &["ta", "va", "ki", "di", "da", "ma", "ti"]),
];

/// One counting system: what is said on each part of a beat, by how many parts the beat has.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CountingSystem {
    /// The name `counting:` asks for it by, in lower case.
    pub name: String,
    /// Rows of plain beats: parts, and a word for each part.
    pub plain: Vec<(u32, Vec<String>)>,
    /// Rows of dotted beats.
    pub dotted: Vec<(u32, Vec<String>)>,
    /// Whether compound beats and additive groups are counted as beats where the file does not say.
    pub by_beat: bool,
}

impl CountingSystem {
    fn built_in(name: &str, plain: &SyllableRows, dotted: &SyllableRows, by_beat: bool) -> Self {
        let own = |rows: &SyllableRows| {
            rows.iter()
                .map(|(parts, words)| (*parts, words.iter().map(|w| (*w).to_owned()).collect()))
                .collect()
        };
        Self { name: name.to_owned(), plain: own(plain), dotted: own(dotted), by_beat }
    }

    /// The system that counts with numbers, `e & a` and `trip let`.
    pub fn numbers() -> Self {
        Self::built_in("numbers", NUMBERS, NUMBERS_DOTTED, false)
    }

    /// A system from a table in the file; what the table leaves out is counted with numbers.
    pub fn from_table(name: &str, table: Vec<(u32, Vec<String>)>) -> Self {
        let numbers = Self::numbers();
        let fill = |rest: Vec<(u32, Vec<String>)>| {
            let mut rows = table.clone();
            for row in rest {
                // Two parts are the first and third of four, where the table has only four.
                let halves = table.iter().any(|(parts, _)| *parts == row.0 * 2 && row.0 > 1);
                if !halves && !rows.iter().any(|(parts, _)| *parts == row.0) {
                    rows.push(row);
                }
            }
            rows.sort_by_key(|(parts, _)| *parts);
            rows
        };
        Self {
            name: name.to_owned(),
            plain: fill(numbers.plain.clone()),
            dotted: fill(numbers.dotted.clone()),
            by_beat: true,
        }
    }

    fn rows(&self, dotted: bool) -> &[(u32, Vec<String>)] {
        if dotted { &self.dotted } else { &self.plain }
    }

    /// What is said on a part. A grid the system has no row for borrows the names of the coarser
    /// grids it contains: eight parts of four, nine of three, ten of five, twelve of six.
    pub(crate) fn word(&self, beat: &Beat, mut parts: u32, mut index: u32) -> Option<String> {
        loop {
            if index == 0 {
                parts = parts.max(1);
            }
            let rows = self.rows(beat.dotted);
            if let Some((_, words)) = rows.iter().find(|(p, _)| *p == parts) {
                let word = words.get(index as usize)?;
                return (word != SILENT).then(|| number_or(word, beat));
            }
            // A grid of twice as many parts gives the names of this one.
            if let Some((_, words)) = rows.iter().find(|(p, _)| *p == parts.saturating_mul(2)) {
                let word = words.get(index as usize * 2)?;
                return (word != SILENT).then(|| number_or(word, beat));
            }
            let by = if parts.is_multiple_of(2) { 2 } else { 3 };
            if !parts.is_multiple_of(by) || !index.is_multiple_of(by) {
                break;
            }
            parts /= by;
            index /= by;
        }
        let first = self.rows(beat.dotted).iter().find(|(p, _)| *p == 1);
        let first = first.and_then(|(_, words)| words.first()).filter(|_| index == 0)?;
        Some(number_or(first, beat))
    }

    /// The words that are not numbers, row by row.
    pub(crate) fn spoken(&self, dotted: bool) -> Vec<String> {
        let words = self.rows(dotted).iter().flat_map(|(_, words)| words);
        words.filter(|w| is_spoken(w)).cloned().collect()
    }

    /// The grids in which a word is said, with the part it is said on. `+` and `and` are `&`.
    pub(crate) fn places(&self, dotted: bool, word: &str) -> Vec<(u32, u32)> {
        let word = word.to_lowercase();
        let word = if word == "+" || word == "and" { "&" } else { word.as_str() };
        let mut places = Vec::new();
        for (parts, words) in self.rows(dotted) {
            for (index, said) in words.iter().enumerate() {
                if is_spoken(said) && said.to_lowercase() == word {
                    places.push((*parts, index as u32));
                }
            }
        }
        places
    }
}

/// Whether a word of a table is a word; numbers inside a beat are read only between brackets.
fn is_spoken(word: &str) -> bool {
    word != NUMBER && word != SILENT && word.parse::<u32>().is_err()
}

fn number_or(word: &str, beat: &Beat) -> String {
    if word == NUMBER { beat.number.to_string() } else { word.to_owned() }
}

/// The systems a file can ask for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CountingSystems {
    numbers: Arc<CountingSystem>,
    others: Vec<Arc<CountingSystem>>,
}

impl Default for CountingSystems {
    fn default() -> Self {
        let takadimi = CountingSystem::built_in("takadimi", TAKADIMI, TAKADIMI, true);
        Self { numbers: Arc::new(CountingSystem::numbers()), others: vec![Arc::new(takadimi)] }
    }
}

impl CountingSystems {
    /// Their names.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.all().map(|s| s.name.as_str())
    }

    fn all(&self) -> impl Iterator<Item = &Arc<CountingSystem>> {
        std::iter::once(&self.numbers).chain(&self.others)
    }

    /// The system of a name.
    pub fn get(&self, name: &str) -> Option<Arc<CountingSystem>> {
        self.all().find(|s| s.name == name).cloned()
    }

    /// The system of a name, or numbers.
    pub fn get_or_numbers(&self, name: Option<&str>) -> Arc<CountingSystem> {
        name.and_then(|name| self.get(name)).unwrap_or_else(|| self.numbers.clone())
    }

    /// Adds a system; one of the same name stays.
    pub fn add(&mut self, system: CountingSystem) -> bool {
        let free = self.get(&system.name).is_none();
        if free {
            self.others.push(Arc::new(system));
        }
        free
    }
}
