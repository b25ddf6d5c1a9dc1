//! The tokens of a block and of a line with a key, from its tree.

use super::token::{Token, TokenKind};
use crate::score::{Accent, HitsRow};
use crate::source::Span;
use crate::syntax::tree::{
    Block, Cell, CellKind, Content, CountGroup, Entry, Row, Setting, StickCell, StickKind, WordCell,
};

fn token(span: Span, kind: TokenKind) -> Token {
    Token { span, kind }
}

/// Key and value.
pub fn of_line(line: &Setting) -> [Token; 2] {
    [token(line.key.span, TokenKind::Key), token(line.value.span, TokenKind::Value)]
}

/// The tokens of a block, in no order; their places count from its start.
pub fn of_block(block: &Block) -> Vec<Token> {
    let mut found = vec![token(block.word.span, TokenKind::BlockWord)];
    found.extend(block.name.iter().map(|name| token(name.span, TokenKind::NameGiven)));
    found.extend(block.parent.iter().map(|name| token(name.span, TokenKind::NameUsed)));
    found.extend(block.title.iter().map(|title| token(title.span, TokenKind::Words)));
    found.extend(block.settings().flat_map(of_line));
    block.rows().for_each(|row| of_row(row, &mut found));
    found
}

fn of_row(row: &Row, found: &mut Vec<Token>) {
    let name = row.name.span;
    match &row.content {
        Content::KitLetter(letter) => {
            found.push(token(name, TokenKind::Letter));
            found.push(token(letter.name.span, TokenKind::NameGiven));
            let attributes = letter.attributes.iter();
            found.extend(attributes.map(|word| token(word.span, TokenKind::Value)));
        }
        Content::Syllables(words) => {
            found.push(token(name, TokenKind::Number));
            found.extend(words.iter().map(|word| token(word.span, TokenKind::Syllable)));
        }
        Content::Count(entries) => {
            found.push(token(name, TokenKind::RowWord));
            entries.iter().for_each(|entry| of_entry(entry, found, of_count));
        }
        Content::Cells(row, entries) => {
            found.push(token(name, TokenKind::RowWord));
            // `g` is the ghosted hit of an instrument's row.
            let ghost = matches!(row, HitsRow::Instrument(_)).then_some('g');
            entries.iter().for_each(|entry| {
                of_entry(entry, found, |group, found| {
                    group.cells.iter().for_each(|cell| of_cell(cell, ghost, found));
                    found.extend(group.spread.iter().map(|s| token(s.span, TokenKind::Number)));
                });
            });
        }
        Content::Sticks(_, entries) => {
            found.push(token(name, TokenKind::RowWord));
            entries.iter().for_each(|entry| {
                of_entry(entry, found, |group, found| {
                    group.cells.iter().for_each(|cell| of_stick(cell, found));
                });
            });
        }
        Content::Words(_, entries) => {
            found.push(token(name, TokenKind::RowWord));
            entries.iter().for_each(|entry| {
                of_entry(entry, found, |group, found| {
                    of_words(&group.cell, found);
                    found.extend(group.spread.iter().map(|s| token(s.span, TokenKind::Number)));
                });
            });
        }
    }
}

/// A group, or a sign between groups.
fn of_entry<T>(entry: &Entry<T>, found: &mut Vec<Token>, group: impl Fn(&T, &mut Vec<Token>)) {
    match entry {
        Entry::Group(one) => group(one, found),
        Entry::Bar(sign) => found.push(token(sign.span, TokenKind::Barline)),
        Entry::SameBar(same) => found.push(token(same.span, TokenKind::Barline)),
    }
}

fn of_count(group: &CountGroup, found: &mut Vec<Token>) {
    match group {
        CountGroup::Word(word) => found.push(token(word.span, TokenKind::Syllable)),
        CountGroup::Division { words, .. } => {
            found.extend(words.iter().map(|word| token(word.span, TokenKind::Syllable)));
        }
    }
}

fn of_cell(cell: &Cell, ghost: Option<char>, found: &mut Vec<Token>) {
    match &cell.kind {
        CellKind::Silence => found.push(token(cell.span, TokenKind::Rest)),
        CellKind::Hold | CellKind::TiedHold | CellKind::Slash => {
            found.push(token(cell.span, TokenKind::Hold));
        }
        CellKind::Split(cells) => cells.iter().for_each(|cell| of_cell(cell, ghost, found)),
        CellKind::Hit(hit) => found.extend(hit.strikes.iter().map(|strike| {
            let ghost = strike.ghost || ghost == Some(strike.letter);
            let kind = match strike.accent {
                Accent::Accent | Accent::Marcato => TokenKind::AccentedLetter,
                Accent::None if ghost => TokenKind::GhostedLetter,
                Accent::None => TokenKind::Letter,
            };
            token(strike.span, kind)
        })),
    }
}

fn of_stick(cell: &StickCell, found: &mut Vec<Token>) {
    match &cell.kind {
        StickKind::Silence => found.push(token(cell.span, TokenKind::Rest)),
        StickKind::NoLetter => found.push(token(cell.span, TokenKind::Hold)),
        StickKind::Split(cells) => cells.iter().for_each(|cell| of_stick(cell, found)),
        StickKind::Letter { accent, .. } => {
            let kind = match accent {
                Accent::None => TokenKind::Letter,
                Accent::Accent | Accent::Marcato => TokenKind::AccentedLetter,
            };
            found.push(token(cell.span, kind));
        }
    }
}

fn of_words(cell: &WordCell, found: &mut Vec<Token>) {
    match cell {
        WordCell::Words(words) => found.extend(words.iter().map(|word| {
            let kind = if word.quoted { TokenKind::Words } else { TokenKind::Mark };
            // Silence in time is written as in cells.
            let kind = if word.word.value == "." { TokenKind::Rest } else { kind };
            token(word.word.span, kind)
        })),
        WordCell::Split(cells) => cells.iter().for_each(|cell| of_words(cell, found)),
    }
}
