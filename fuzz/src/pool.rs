//! What the seeds of a target are made of, so that what is put into a text is of its language.

use flamacue::score::{Kit, RowWord};
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// Files that are longer lend nothing.
const LONGEST_SEED: u64 = 100_000;

/// Pieces of the seeds, each once.
pub struct Pool {
    /// Stretches between empty lines.
    pub blocks: Vec<String>,
    /// Lines, each with its end.
    pub lines: Vec<String>,
    /// What stands between blanks.
    pub words: Vec<String>,
    /// What follows the first word of lines, by that word.
    pub rests: BTreeMap<String, Vec<String>>,
    /// What stands before a colon at the start of a line.
    pub keys: Vec<String>,
    /// Runs of figures.
    pub numbers: Vec<String>,
}

impl Pool {
    /// The pieces of the texts in some folders.
    pub fn of(folders: impl IntoIterator<Item = impl AsRef<Path>>) -> Self {
        let mut texts = Vec::new();
        folders.into_iter().for_each(|folder| read(folder.as_ref(), &mut texts));
        let mut words: BTreeSet<String> =
            texts.iter().flat_map(|text| text.split_whitespace()).map(str::to_owned).collect();
        words.extend(RowWord::words().map(|word| format!("\n  {word}  ")));
        words.extend(Kit::five_piece().instruments.iter().map(|one| format!("\n  {}  ", one.name)));
        Self {
            blocks: once(&texts, |text| {
                text.split("\n\n").map(|block| format!("{}\n\n", block.trim_end())).collect()
            }),
            lines: once(&texts, |text| text.lines().map(|line| format!("{line}\n")).collect()),
            words: words.into_iter().collect(),
            rests: rests(&texts),
            keys: once(&texts, |text| text.lines().filter_map(key).map(str::to_owned).collect()),
            numbers: once(&texts, |text| {
                let runs = text.split(|c: char| !c.is_ascii_digit());
                runs.filter(|run| (1..6).contains(&run.len())).map(str::to_owned).collect()
            }),
        }
    }
}

/// Where what follows the first word of a line starts.
pub fn rest(line: &str) -> usize {
    let word = line.len() - line.trim_start().len();
    let end = line[word..].find(char::is_whitespace).map_or(line.len(), |end| word + end);
    line.len() - line[end..].trim_start_matches([' ', '\t']).len()
}

fn rests(texts: &[String]) -> BTreeMap<String, Vec<String>> {
    let mut rests: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for line in texts.iter().flat_map(|text| text.lines()).filter(|line| line.contains(' ')) {
        let (first, rest) = line.split_at(rest(line));
        rests.entry(first.trim().to_owned()).or_default().insert(rest.to_owned());
    }
    rests.into_iter().map(|(first, rests)| (first, rests.into_iter().collect())).collect()
}

/// The key of a line that has one.
pub fn key(line: &str) -> Option<&str> {
    let (key, _) = line.split_once(':')?;
    let key = key.trim_start();
    (!key.is_empty()
        && key.chars().all(|c| c.is_ascii_alphabetic() || matches!(c, ' ' | '-' | '_')))
    .then_some(key)
}

fn once(texts: &[String], pieces: impl Fn(&str) -> Vec<String>) -> Vec<String> {
    let all: BTreeSet<String> = texts.iter().flat_map(|text| pieces(text)).collect();
    all.into_iter().collect()
}

/// The texts of a folder and of those in it.
fn read(path: &Path, texts: &mut Vec<String>) {
    let Ok(entries) = std::fs::read_dir(path) else { return };
    for entry in entries.flatten() {
        let path = entry.path();
        if path.is_dir() {
            read(&path, texts);
        } else if entry.metadata().is_ok_and(|file| file.len() <= LONGEST_SEED) {
            texts.extend(std::fs::read_to_string(path));
        }
    }
}
