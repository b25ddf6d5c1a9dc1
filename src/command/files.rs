//! The files of a run: what the command line names, and what texts name within their reach.

use super::common::Roots;
use super::outcome::Failure;
use super::reach::Reach;
use super::reading;
use super::reading::Kind;
use super::report::shown;
use super::standard::is_standard;
use flamacue::score::Score;
use flamacue::source::Source;
use flamacue::syntax;
use std::cell::RefCell;
use std::path::{Path, PathBuf};

/// A byte-order mark.
pub const MARK: &str = "\u{FEFF}";

/// Reads the files of a run and remembers which they were.
pub struct Reader<'a> {
    roots: &'a [PathBuf],
    read: RefCell<Vec<PathBuf>>,
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

impl<'a> Reader<'a> {
    /// A reader that lets texts name files in these folders too.
    pub fn new(wanted: &'a Roots) -> Self {
        Self { roots: &wanted.root, read: RefCell::default() }
    }

    /// Reads a file of drum-text, or standard input for `-`, with the files it includes.
    pub fn text(&self, path: &Path) -> Result<Text, Failure> {
        let standard = is_standard(path);
        let name = if standard { "standard input".into() } else { shown(path) };
        let cannot = |why: String| Failure(format!("can't read {name}: {why}"));
        let reach = Reach::new(path, self.roots)?;
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
        self.read.borrow().clone()
    }

    fn within(&self, reach: &Reach, path: &Path, kind: Kind) -> Result<Vec<u8>, String> {
        let bytes = reading::file(&reach.find(path)?, kind)?;
        self.read.borrow_mut().push(path.to_owned());
        Ok(bytes)
    }

    fn file(&self, path: &Path, kind: Kind) -> Result<Vec<u8>, String> {
        let bytes = reading::file(path, kind)?;
        self.read.borrow_mut().push(path.to_owned());
        Ok(bytes)
    }
}
