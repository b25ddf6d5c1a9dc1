//! Bytes of a source as the editor names places.

use super::uri;
use flamacue::assist::{Encoding, LineStarts, Position};
use flamacue::source::{FileId, Source, Span};
use lsp_types::{Location, Range, Uri};
use std::cell::RefCell;
use std::collections::{BTreeMap, HashMap};
use std::rc::Rc;

/// The places of one text and of those it includes.
pub struct Places<'a> {
    source: &'a Source,
    encoding: Encoding,
    /// The addresses the editor has for files it has open, by their paths.
    open: &'a BTreeMap<String, Uri>,
    /// Where the lines of files start that were asked about.
    starts: RefCell<HashMap<FileId, Rc<LineStarts>>>,
}

impl<'a> Places<'a> {
    pub fn new(source: &'a Source, encoding: Encoding, open: &'a BTreeMap<String, Uri>) -> Self {
        Self { source, encoding, open, starts: RefCell::default() }
    }

    fn starts(&self, file: FileId) -> Rc<LineStarts> {
        let mut known = self.starts.borrow_mut();
        let starts =
            known.entry(file).or_insert_with(|| Rc::new(LineStarts::of(self.source.text_of(file))));
        Rc::clone(starts)
    }

    /// Where a byte stands in its file.
    pub fn position(&self, offset: usize) -> lsp_types::Position {
        let file = self.source.file_at(offset);
        let start = self.source.span_of(file).start();
        let text = self.source.text_of(file);
        plain(self.starts(file).position(text, offset.saturating_sub(start), self.encoding))
    }

    /// The byte at a place of a file.
    pub fn offset(&self, file: FileId, position: lsp_types::Position) -> usize {
        let text = self.source.text_of(file);
        let at = self.starts(file).offset(text, read(position), self.encoding);
        self.source.span_of(file).start() + at
    }

    /// Where a span stands in the file it starts in.
    pub fn range(&self, span: Span) -> Range {
        let file = self.source.span_of(self.source.file_at(span.start()));
        let end = span.end().clamp(span.start(), file.end().max(span.start()));
        Range::new(self.position(span.start()), self.position(end))
    }

    /// The span of a range of a file.
    pub fn span(&self, file: FileId, range: Range) -> Span {
        Span::new(self.offset(file, range.start), self.offset(file, range.end))
    }

    /// The address of the file a byte lies in.
    pub fn uri(&self, offset: usize) -> Option<Uri> {
        let path = self.source.name_of(self.source.file_at(offset));
        self.open.get(path).cloned().or_else(|| uri::of_path(path))
    }

    /// A span with the file it is in.
    pub fn location(&self, span: Span) -> Option<Location> {
        Some(Location::new(self.uri(span.start())?, self.range(span)))
    }

    /// A span line by line as editors have lines, which a carriage return alone ends too.
    pub fn pieces(&self, span: Span) -> Vec<Span> {
        let mut at = span.start();
        let parts = self.source.slice(span).split(['\n', '\r']).map(|part| {
            let piece = Span::new(at, at + part.len());
            at = piece.end() + 1;
            piece
        });
        parts.filter(|piece| piece.start() < piece.end()).collect()
    }

    /// How long a span on one line is, in what columns count.
    pub fn width(&self, span: Span) -> u32 {
        let text = self.source.slice(span);
        number(match self.encoding {
            Encoding::Utf8 => text.len(),
            Encoding::Utf16 => text.encode_utf16().count(),
        })
    }
}

/// A number as the protocol has it.
fn number(n: usize) -> u32 {
    u32::try_from(n).unwrap_or(u32::MAX)
}

/// A place as the protocol has it.
pub fn plain(position: Position) -> lsp_types::Position {
    lsp_types::Position::new(number(position.line), number(position.column))
}

/// A place of the protocol.
pub fn read(position: lsp_types::Position) -> Position {
    Position { line: position.line as usize, column: position.character as usize }
}
