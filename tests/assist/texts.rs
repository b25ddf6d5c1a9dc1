//! Texts with a cursor in them.

use flamacue::assist::View;
use flamacue::font::Fonts;
use flamacue::session::Session;
use flamacue::source::{Edit, FileId};
use std::sync::{Arc, LazyLock};

static FONTS: LazyLock<Arc<Fonts>> = LazyLock::new(|| Arc::new(Fonts::built_in().unwrap()));

/// Where the cursor is.
const CURSOR: char = '‸';

/// A text that stays in memory, and the byte the cursor is at.
pub struct Asked {
    pub session: Session,
    pub offset: usize,
}

impl Asked {
    /// A text with a cursor, and files it includes.
    pub fn new(text: &str, files: &[(&str, &str)]) -> Self {
        let offset = text.find(CURSOR).unwrap_or(text.len());
        let mut session = Session::new("main.flam", text.replace(CURSOR, ""), FONTS.clone());
        for (name, text) in files {
            session.set_file(*name, *text);
        }
        session.update(&|| false).unwrap();
        Self { session, offset }
    }

    pub fn view(&self) -> View<'_> {
        View::of(&self.session)
    }

    /// The text of a file after changes.
    pub fn changed(&self, file: usize, edits: &[Edit]) -> String {
        let source = self.session.source();
        let span = source.span_of(FileId(file));
        let mut text = source.text_of(FileId(file)).to_owned();
        let mut edits: Vec<&Edit> =
            edits.iter().filter(|e| source.file_at(e.span.start()) == FileId(file)).collect();
        edits.sort_by_key(|edit| std::cmp::Reverse(edit.span));
        for edit in edits {
            let range = edit.span.start() - span.start()..edit.span.end() - span.start();
            text.replace_range(range, &edit.text);
        }
        text
    }
}
