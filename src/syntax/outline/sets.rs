//! The sets of rows of a block, line by line.

use crate::score::{BlockWord, RowWord};
use crate::source::{Diagnostics, Span, say};
use crate::syntax::grammar::Piece;
use crate::syntax::rows::{BlockLine, Rows, setting};
use crate::syntax::tree::RowSet;
use crate::syntax::{codes, sticks};

/// The sets read so far.
pub(super) struct Sets {
    word: BlockWord,
    /// Those that are closed, each by a line of `--`.
    closed: Vec<RowSet>,
    open: RowSet,
    last_break: Option<Span>,
    /// Whether any row stands in the set that is open, be it a faulty one.
    any_row: bool,
}

impl Sets {
    /// No line of a block of this word was read.
    pub(super) fn new(word: BlockWord) -> Self {
        let open = RowSet::default();
        Self { word, closed: Vec::new(), open, last_break: None, any_row: false }
    }

    /// Takes a line of the block.
    pub(super) fn take(
        &mut self,
        body: Piece<'_>,
        read: BlockLine<'_>,
        rows: &Rows,
        diagnostics: &mut Diagnostics,
    ) {
        match read {
            BlockLine::Break => self.go_on(body, diagnostics),
            // What is written without a colon in a block of keys alone is a key too.
            BlockLine::Row(key, value) if self.word.has_only_keys() => {
                let end = Piece { text: "", start: key.start + key.text.len() };
                self.open.settings.extend(setting(key, value.unwrap_or(end), diagnostics));
            }
            // `stick natural`: a word in place of letters is a rule that makes them.
            BlockLine::Row(key, Some(value)) if is_rule(key, value) => {
                self.open.settings.extend(setting(key, value, diagnostics));
            }
            BlockLine::Setting(key, value) if self.is_row(key, value, rows) => {
                self.row_with_colon(key, value, rows, diagnostics);
            }
            // What ends in a digit can't be a key.
            BlockLine::Row(name, Some(value)) if self.has_colon(name) => {
                let key = Piece { text: name.text.trim_end_matches(':'), ..name };
                self.row_with_colon(key, value, rows, diagnostics);
            }
            BlockLine::Setting(key, value) => {
                self.open.settings.extend(setting(key, value, diagnostics));
            }
            BlockLine::Row(name, content) => self.row(name, content, rows, diagnostics),
        }
    }

    /// Whether what looks like a setting was meant to be a row.
    fn is_row(&self, key: Piece<'_>, value: Piece<'_>, rows: &Rows) -> bool {
        let named = RowWord::is_word(key.text) || rows.is_instrument(key.text);
        self.is_music() && !is_rule(key, value) && named
    }

    /// Whether a name of a row ends in one colon.
    fn has_colon(&self, name: Piece<'_>) -> bool {
        let bare = name.text.strip_suffix(':');
        self.is_music() && bare.is_some_and(|bare| !bare.is_empty() && !bare.contains(':'))
    }

    fn is_music(&self) -> bool {
        match self.word {
            BlockWord::Groove | BlockWord::Fill | BlockWord::Exercise | BlockWord::Rudiment => true,
            BlockWord::Kit
            | BlockWord::Syllables
            | BlockWord::Variation
            | BlockWord::Context
            | BlockWord::Series
            | BlockWord::Edition => false,
        }
    }

    fn row_with_colon(
        &mut self,
        name: Piece<'_>,
        content: Piece<'_>,
        rows: &Rows,
        diagnostics: &mut Diagnostics,
    ) {
        let colon = Span::new(name.span().end, name.span().end + 1);
        diagnostics
            .error(colon, format!("rows have no colon, and one stands after `{}`", name.text))
            .code(codes::ROW_COLON)
            .replace(colon, " ", "put a space in its place");
        self.row(name, Some(content), rows, diagnostics);
    }

    fn row(
        &mut self,
        name: Piece<'_>,
        content: Option<Piece<'_>>,
        rows: &Rows,
        diagnostics: &mut Diagnostics,
    ) {
        self.any_row = true;
        self.open.rows.extend(rows.row(self.word, name, content, diagnostics));
    }

    /// Takes a line of `--`.
    fn go_on(&mut self, body: Piece<'_>, diagnostics: &mut Diagnostics) {
        let span = body.span();
        if self.word.has_only_keys() {
            diagnostics
                .error(span, format!("{} does not go on", say::one(self.word.as_str())))
                .code(codes::BREAK_IN_MADE)
                .replace(span, "", "take the line out");
            return;
        }
        if self.any_row {
            self.closed.push(std::mem::take(&mut self.open));
        } else {
            diagnostics
                .error(span, "`--` goes on with a block, and no rows stand before it")
                .code(codes::BREAK_EARLY)
                .replace(span, "", "take the line out");
        }
        self.last_break = Some(span);
        self.any_row = false;
    }

    /// All sets.
    pub(super) fn finish(mut self, diagnostics: &mut Diagnostics) -> Vec<RowSet> {
        let unused = self.last_break.filter(|_| !self.any_row && !self.closed.is_empty());
        if let Some(span) = unused {
            diagnostics.error(span, "no rows follow this `--`").code(codes::BREAK_LATE).replace(
                span,
                "",
                "write the rows that go on after it, or take the line out",
            );
        }
        self.closed.push(self.open);
        self.closed
    }
}

/// Whether a line names a rule that makes letters.
fn is_rule(key: Piece<'_>, value: Piece<'_>) -> bool {
    key.text == "stick" && sticks::is_rule(value.text)
}
