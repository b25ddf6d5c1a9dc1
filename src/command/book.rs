//! A text with what it includes, as it stays in memory.

use crate::command::args::{FontFiles, Roots};
use crate::command::files::{Reader, Text};
use crate::command::fonts::FaceBox;
use crate::command::outcome::Failure;
use crate::command::reading::Kind;
use flamacue::assist::{Finding, View, findings};
use flamacue::font::Fonts;
use flamacue::session::{Session, Superseded};
use flamacue::source::Diagnostics;
use flamacue::{Stop, syntax};
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::sync::Arc;

/// A text with what it includes.
pub struct Book {
    /// The path of the file it starts with, or the address of a text that was never saved.
    pub main: String,
    session: Session,
    /// The faces of the program.
    usual: Arc<Fonts>,
    /// The font files that the text asked for when it was set last, and what was wrong with them.
    fonts: Vec<String>,
    /// Whether they may not be as they were.
    stale_fonts: bool,
    font_faults: Diagnostics,
    /// The files that were looked for on the disk.
    read: BTreeSet<String>,
    /// What is wrong with it.
    pub findings: Vec<Finding>,
    /// Whether it was looked at since it was changed.
    pub current: bool,
    /// The pages that came to look different since they were last asked for.
    changed: BTreeSet<usize>,
    /// Whether the pages are those of the text as it is.
    good: bool,
}

/// What a book is read with.
#[derive(Clone, Copy)]
pub struct Shelf<'a> {
    /// The texts the editor has open, by their paths.
    pub open: &'a BTreeMap<String, String>,
    /// Folders that texts may reach beside their own.
    pub roots: &'a Roots,
}

impl Book {
    pub fn new(main: &str, text: &str, usual: Arc<Fonts>) -> Self {
        Self {
            main: main.to_owned(),
            session: Session::new(main, text, usual.clone()),
            usual,
            fonts: Vec::new(),
            stale_fonts: false,
            font_faults: Diagnostics::default(),
            read: BTreeSet::new(),
            findings: Vec::new(),
            current: false,
            changed: BTreeSet::new(),
            good: false,
        }
    }

    /// What it stays in memory as.
    pub fn session(&self) -> &Session {
        &self.session
    }

    /// Whether the pages are those of the text as it is; where it has an error, they are those of the text
    /// when it was last without one.
    pub fn good(&self) -> bool {
        self.good
    }

    /// The pages that came to look different since they were last asked for, in order.
    pub fn take_changed(&mut self) -> Vec<usize> {
        std::mem::take(&mut self.changed).into_iter().collect()
    }

    /// The files that were looked for on the disk.
    pub fn sought(&self) -> Vec<String> {
        self.read.iter().cloned().collect()
    }

    /// What was made of it last.
    pub fn view(&self) -> View<'_> {
        View::of(&self.session)
    }

    /// The paths of its files.
    pub fn files(&self) -> Vec<String> {
        let source = self.session.source();
        (0..source.files())
            .map(|file| source.name_of(flamacue::source::FileId(file)).to_owned())
            .collect()
    }

    /// Whether a file is part of it.
    pub fn holds(&self, path: &str) -> bool {
        self.view().file(path).is_some()
    }

    /// The text of a file of it as it is now.
    pub fn text(&self, path: &str) -> Option<&str> {
        self.session.text(path)
    }

    /// Puts a text in place of a range of a file.
    pub fn edit(&mut self, path: &str, range: std::ops::Range<usize>, text: &str) {
        if self.session.edit(path, range, text).is_ok() {
            self.current = false;
        }
    }

    /// Puts a text in place of a file that it includes, or looked for.
    pub fn set(&mut self, path: &str, text: &str) {
        if self.session.text(path).is_none() && !self.read.contains(path) {
            return;
        }
        self.session.set_file(path, text);
        self.current = false;
    }

    /// Says that a file on the disk is not as it was; it is read when it is needed.
    pub fn forget(&mut self, path: &str) {
        self.session.remove_file(path);
        self.stale_fonts = true;
        self.current = false;
    }

    /// The same of all files that were looked for on the disk, but those the editor has open.
    pub fn forget_read(&mut self, is_open: &dyn Fn(&str) -> bool) {
        for path in std::mem::take(&mut self.read) {
            if is_open(&path) {
                continue;
            }
            self.forget(&path);
        }
        if !self.fonts.is_empty() {
            (self.stale_fonts, self.current) = (true, false);
        }
    }

    /// Looks at the text after its edits.
    pub fn update(&mut self, shelf: Shelf<'_>, stop: Stop<'_>) -> Result<(), Superseded> {
        if self.current {
            return Ok(());
        }
        self.read_text(shelf, stop)?;
        if self.read_fonts(shelf) {
            self.make(stop)?;
        }
        let mut found = self.session.diagnostics().clone();
        found.absorb(self.session.check_editions(stop)?, 0);
        found.absorb(self.font_faults.clone(), 0);
        self.findings = findings(self.session.source(), &found);
        self.current = true;
        Ok(())
    }

    /// Makes of the text what it comes to, with all files it includes.
    fn read_text(&mut self, shelf: Shelf<'_>, stop: Stop<'_>) -> Result<(), Superseded> {
        // Each turn knows what the files of the turn before include.
        for _ in 0..=syntax::limits::FILE_DEPTH {
            self.make(stop)?;
            let unknown = self.session.unknown_files().to_vec();
            if unknown.is_empty() {
                break;
            }
            for path in unknown {
                self.read.insert(path.clone());
                match shelf.open.get(&path).cloned().map_or_else(|| self.read(&path, shelf), Ok) {
                    Ok(text) => self.session.set_file(path, text),
                    Err(why) => self.session.refuse_file(path, why),
                }
            }
        }
        Ok(())
    }

    fn make(&mut self, stop: Stop<'_>) -> Result<(), Superseded> {
        let update = self.session.update(stop)?;
        self.good = update.current;
        self.changed.extend(update.changed);
        Ok(())
    }

    /// Reads a file that the text includes, or says why it can't be read.
    fn read(&self, path: &str, shelf: Shelf<'_>) -> Result<String, String> {
        if !Path::new(&self.main).is_absolute() {
            return Err("the text it stands in was never saved, and its folder is not known".into());
        }
        let reader = Reader::new(shelf.roots);
        let reach = reader.reach(Path::new(&self.main)).map_err(|Failure(why)| why)?;
        let bytes = reader.within(&reach, Path::new(path), Kind::Text)?;
        String::from_utf8(bytes)
            .map_err(|_| "it is not UTF-8 text; save it as UTF-8 in your editor".into())
    }

    /// Takes the faces that the text asks for; whether they are others than before.
    fn read_fonts(&mut self, shelf: Shelf<'_>) -> bool {
        let asked = self.session.score().header.text_fonts.clone();
        let names = asked.map(|asked| asked.value).unwrap_or_default();
        let stale = std::mem::take(&mut self.stale_fonts) && !names.is_empty();
        if self.fonts == names && !stale {
            return false;
        }
        self.fonts = names;
        self.font_faults = Diagnostics::default();
        let own = self.own_fonts(shelf);
        let fonts = own.map_or_else(|| self.usual.clone(), Arc::new);
        self.session.set_fonts(fonts);
        true
    }

    fn own_fonts(&mut self, shelf: Shelf<'_>) -> Option<Fonts> {
        let main = Path::new(&self.main).to_owned();
        let (files, reader) = (FontFiles::default(), Reader::new(shelf.roots));
        let mut faces = FaceBox::new(&files, &reader).ok()?;
        let reach = reader.reach(&main).ok()?;
        let text = Text::new(self.session.source().clone(), reach);
        faces.of(&text, &self.session.score().header, &main, &mut self.font_faults);
        faces.into_own()
    }
}
