//! The files of a run: what the command line names, and what texts name within their reach.

use super::common::Roots;
use super::fingerprint::fingerprint;
use super::outcome::Failure;
use super::reach::Reach;
use super::reading;
use super::reading::Kind;
use super::report::shown;
use super::standard::is_standard;
use flamacue::score::Score;
use flamacue::source::Source;
use flamacue::syntax;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

/// A byte-order mark.
pub const MARK: &str = "\u{FEFF}";

/// Reads the files of a run and remembers which they were.
pub struct Reader<'a> {
    roots: &'a [PathBuf],
    noted: Mutex<Noted>,
}

/// Files in the order in which they were looked for.
#[derive(Default)]
struct Noted {
    read: Vec<PathBuf>,
    sought: Vec<(PathBuf, Option<u64>)>,
}

/// A file of drum-text with all it includes.
pub struct Text {
    /// The text without a byte-order mark, and the files it includes.
    pub source: Source,
    /// The bytes of the file itself.
    pub bytes: Vec<u8>,
    /// What its names may lead to.
    reach: Reach,
}

impl Text {
    /// A text that was read before.
    pub fn new(source: Source, reach: Reach) -> Self {
        Self { source, bytes: Vec::new(), reach }
    }
}

impl<'a> Reader<'a> {
    /// A reader that lets texts name files in these folders too.
    pub fn new(wanted: &'a Roots) -> Self {
        Self { roots: &wanted.root, noted: Mutex::default() }
    }

    /// Reads a file of drum-text, or standard input for `-`, with the files it includes.
    pub fn text(&self, path: &Path) -> Result<Text, Failure> {
        let standard = is_standard(path);
        let name = if standard { "standard input".into() } else { shown(path) };
        let cannot = |why: String| Failure(format!("can't read {name}: {why}"));
        let reach = self.reach(path)?;
        let bytes = if standard {
            reading::stream(std::io::stdin(), Kind::Text)
        } else {
            self.file(path, Kind::Text)
        }
        .map_err(cannot)?;
        let text = str::from_utf8(&bytes).map_err(|e| {
            let good = bytes.iter().take(e.valid_up_to());
            let line = good.filter(|byte| **byte == b'\n').count() + 1;
            cannot(format!("line {line} is not UTF-8 text; save it as UTF-8 in your editor"))
        })?;
        let text = text.strip_prefix(MARK).unwrap_or(text);
        let named = if standard { name } else { path.display().to_string() };
        let source = syntax::gather(Source::new(named, text), &|path| {
            let bytes = self.within(&reach, Path::new(path), Kind::Text)?;
            String::from_utf8(bytes)
                .map_err(|_| "it is not UTF-8 text; save it as UTF-8 in your editor".into())
        });
        Ok(Text { source, bytes, reach })
    }

    /// Adds the pictures that prose shows.
    pub fn add_pictures(&self, text: &mut Text, score: &Score) {
        let Text { source, reach, .. } = text;
        syntax::gather_pictures(source, score, &|path| {
            self.within(reach, Path::new(path), Kind::Picture)
        });
    }

    /// Reads a file that the command line names.
    pub fn named(&self, path: &Path, kind: Kind) -> Result<Vec<u8>, Failure> {
        self.file(path, kind).map_err(|why| Failure(format!("can't read {}: {why}", shown(path))))
    }

    /// Reads a font that a text names.
    pub fn font_of(&self, text: &Text, path: &Path) -> Result<Vec<u8>, Failure> {
        let font = self.within(&text.reach, path, Kind::Font);
        font.map_err(|why| Failure(format!("can't read {}: {why}", shown(path))))
    }

    /// Every file read so far.
    pub fn files(&self) -> Vec<PathBuf> {
        self.notes().read.clone()
    }

    /// Every file looked for so far, each with a number of its bytes; without one where it could not be read.
    pub fn sought(&self) -> Vec<(PathBuf, Option<u64>)> {
        self.notes().sought.clone()
    }

    /// Where the files may lie that a text names.
    pub fn reach(&self, first: &Path) -> Result<Reach, Failure> {
        Reach::new(first, self.roots)
    }

    /// Reads a file that a text names, or says why it can't be read.
    pub fn within(&self, reach: &Reach, path: &Path, kind: Kind) -> Result<Vec<u8>, String> {
        self.noted(path, reach.find(path).and_then(|found| reading::file(&found, kind)))
    }

    fn file(&self, path: &Path, kind: Kind) -> Result<Vec<u8>, String> {
        self.noted(path, reading::file(path, kind))
    }

    /// Remembers what came of reading a file.
    fn noted(&self, path: &Path, bytes: Result<Vec<u8>, String>) -> Result<Vec<u8>, String> {
        let number = bytes.as_ref().ok().map(|bytes| fingerprint(bytes));
        let mut notes = self.notes();
        notes.sought.push((path.to_owned(), number));
        if number.is_some() {
            notes.read.push(path.to_owned());
        }
        bytes
    }

    fn notes(&self) -> MutexGuard<'_, Noted> {
        self.noted.lock().unwrap_or_else(PoisonError::into_inner)
    }
}
