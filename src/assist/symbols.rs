//! What a file is made up of: parts, chapters, sections and blocks.

use super::view::View;
use crate::score::{BlockNumber, BlockWord, Item as ScoreItem, Placed};
use crate::source::{FileId, Span};
use crate::syntax::tree::{Block, Heading, Item};
use std::collections::HashMap;

/// A part of a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Symbol {
    /// What it is.
    pub kind: SymbolKind,
    /// Its number and title, or its words.
    pub name: String,
    /// The name it goes by in the text; empty where it has none.
    pub detail: String,
    /// All of it, with what stands in it.
    pub span: Span,
    /// Its first line.
    pub head: Span,
    /// What stands in it.
    pub children: Vec<Symbol>,
}

/// What a symbol is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SymbolKind {
    /// A part of a book, a chapter or a section: 0, 1 or 2.
    Heading(u8),
    /// A block.
    Block(BlockWord),
}

/// The parts of a file, in order, each with what stands in it.
#[must_use]
pub fn symbols(view: &View<'_>, file: FileId) -> Vec<Symbol> {
    let numbers = numbers(view);
    let mut open = Open { done: Vec::new(), stack: Vec::new() };
    for (_, item) in view.items_of(file) {
        match item {
            Item::Heading(heading) => {
                open.close(heading.level, heading.span.start());
                open.stack.push((heading.level, self::heading(view, heading)));
            }
            Item::Block(placed) => {
                let symbol = block(placed, numbers.get(&placed.at));
                open.add(symbol);
            }
            Item::Prose(_) | Item::Include(_) | Item::FileStart(_) | Item::FileEnd => {}
        }
    }
    open.close(0, view.source.span_of(file).end());
    open.done
}

/// Headings that are not closed yet.
struct Open {
    done: Vec<Symbol>,
    stack: Vec<(u8, Symbol)>,
}

impl Open {
    /// Closes headings of this level and below, which end where something starts.
    fn close(&mut self, level: u8, at: usize) {
        while self.stack.last().is_some_and(|(open, _)| *open >= level) {
            let Some((_, mut symbol)) = self.stack.pop() else { return };
            symbol.span = symbol.span.join(Span::new(symbol.span.start(), at));
            self.add(symbol);
        }
    }

    fn add(&mut self, symbol: Symbol) {
        match self.stack.last_mut() {
            Some((_, open)) => open.children.push(symbol),
            None => self.done.push(symbol),
        }
    }
}

/// The first and the last number of what stands at a byte.
fn numbers(view: &View<'_>) -> HashMap<usize, (BlockNumber, BlockNumber)> {
    let mut numbers = HashMap::new();
    for item in view.score.items_once() {
        let ScoreItem::Block(placed) = item else { continue };
        if let Some(number) = placed.number {
            let first = numbers.get(&placed.at).map_or(number, |(first, _)| *first);
            numbers.insert(placed.at, (first, number));
        }
    }
    numbers
}

fn heading(view: &View<'_>, heading: &Heading) -> Symbol {
    let line = view.source.slice(heading.span);
    let words = match heading.level {
        0 => line.trim_start_matches("part").trim().trim_matches(['"', '“', '”', '„']),
        _ => line.trim_start_matches('#').trim(),
    };
    Symbol {
        kind: SymbolKind::Heading(heading.level),
        name: or_dash(words.to_owned()),
        detail: String::new(),
        span: heading.span,
        head: heading.span,
        children: Vec::new(),
    }
}

fn block(block: &Placed<Block>, number: Option<&(BlockNumber, BlockNumber)>) -> Symbol {
    let word = block.word.value;
    let mut name = word.as_str().to_owned();
    match number {
        Some((first, last)) if first == last => name.push_str(&format!(" {first}")),
        Some((first, last)) => name.push_str(&format!(" {first} to {last}")),
        None => {}
    }
    if let Some(title) = &block.title {
        name.push_str(&format!(": {}", title.value));
    }
    let detail = block.name.as_ref().map(|name| name.value.clone()).unwrap_or_default();
    if block.title.is_none() && number.is_none() && !detail.is_empty() {
        name.push_str(&format!(" {detail}"));
    }
    let (span, head) = (block.whole().moved(block.at), block.span.moved(block.at));
    Symbol { kind: SymbolKind::Block(word), name, detail, span, head, children: Vec::new() }
}

/// Editors take no empty names.
fn or_dash(name: String) -> String {
    if name.is_empty() { "-".to_owned() } else { name }
}
