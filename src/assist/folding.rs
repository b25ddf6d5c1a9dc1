//! What can be folded away.

use super::symbols::{Symbol, SymbolKind, symbols};
use super::view::View;
use crate::source::{FileId, Span};

/// Lines that can be folded away under the first of them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Fold {
    /// From a place in the first line to a place in the last.
    pub span: Span,
    /// What they are.
    pub kind: FoldKind,
}

/// What is folded away.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FoldKind {
    /// The keys at the head of a file.
    Header,
    /// What stands under a heading.
    Heading,
    /// The rows of a block.
    Block,
}

/// What can be folded away in a file.
#[must_use]
pub fn folds(view: &View<'_>, file: FileId) -> Vec<Fold> {
    let mut folds: Vec<Fold> = header(view, file).into_iter().collect();
    add(view, &symbols(view, file), &mut folds);
    let several = |fold: &Fold| view.source.slice(fold.span).contains('\n');
    folds.retain(several);
    folds
}

fn header(view: &View<'_>, file: FileId) -> Option<Fold> {
    use crate::syntax::tree::{Item, Setting};
    let range = view.source.span_of(file);
    let lines = if file == FileId::MAIN {
        &view.document.header
    } else {
        let mut starts = view.document.items.iter().filter_map(Item::file_start);
        let stands_there = |line: &Setting| range.touches(line.key.span.start());
        &starts.find(|start| start.header.first().is_some_and(stands_there))?.header
    };
    let (first, last) = (lines.first()?, lines.last()?);
    Some(Fold { span: first.key.span.join(last.value.span), kind: FoldKind::Header })
}

fn add(view: &View<'_>, symbols: &[Symbol], folds: &mut Vec<Fold>) {
    for symbol in symbols {
        let kind = match symbol.kind {
            SymbolKind::Heading(_) => FoldKind::Heading,
            SymbolKind::Block(_) => FoldKind::Block,
        };
        // The blank lines before what follows stay.
        let text = view.source.slice(symbol.span).trim_end();
        let span = Span::new(symbol.span.start(), symbol.span.start() + text.len());
        folds.push(Fold { span, kind });
        add(view, &symbol.children, folds);
    }
}
