//! Rows that have nothing but hits, rests, holds and splits in groups between single barlines, read without the
//! grammar. Nearly all rows are so, and the grammar finds what a sign is by trying all that it might be.
//!
//! What has any other sign, or a fault, is left to the grammar, which stays the one definition of the syntax: where
//! this reads a row, the grammar comes to the same, as a property holds.

use super::grammar::Piece;
use super::hit::{strike, struck};
use super::limits::{GROUP_CELLS, ORNAMENTS, SPLIT_CELLS, SPLIT_DEPTH, STRIKES};
use super::tree::{BarSign, Cell, CellGroup, CellKind, Entry, Hit, WrittenGrace};
use crate::source::{Span, Spanned};

/// The content of a row of hits; nothing where the grammar has to say what it is.
pub fn read(piece: Piece<'_>) -> Option<Vec<Entry<CellGroup>>> {
    let mut row = PlainRow { piece, at: 0 };
    // Each stands between spaces.
    let spaces = piece.text.bytes().filter(|byte| *byte == b' ').count();
    let mut entries = Vec::with_capacity(spaces + 1);
    while let Some(sign) = row.sign() {
        match sign {
            b' ' => row.at += 1,
            b'|' => entries.push(Entry::Bar(row.barline()?)),
            _ => entries.push(Entry::Group(row.group()?)),
        }
    }
    Some(entries)
}

/// A row while it is read.
struct PlainRow<'a> {
    piece: Piece<'a>,
    /// The byte that is read next.
    at: usize,
}

impl PlainRow<'_> {
    fn sign(&self) -> Option<u8> {
        self.piece.text.as_bytes().get(self.at).copied()
    }

    /// Reads a sign where it is this one.
    fn takes(&mut self, sign: u8) -> bool {
        let there = self.sign() == Some(sign);
        self.at += usize::from(there);
        there
    }

    /// From a byte to what was read last.
    fn since(&self, byte: usize) -> Span {
        Span::new(self.piece.start + byte, self.piece.start + self.at)
    }

    fn barline(&mut self) -> Option<Spanned<BarSign>> {
        let start = self.at;
        self.at += 1;
        let other = matches!(self.sign(), Some(b'|' | b':' | b'.'));
        (!other).then(|| Spanned::new(BarSign::Single, self.since(start)))
    }

    fn group(&mut self) -> Option<CellGroup> {
        let start = self.at;
        let mut cells = Vec::new();
        // What stands before each split that is open, and the byte of its bracket.
        let mut open: Vec<(usize, Vec<Cell>)> = Vec::new();
        loop {
            let (mut from, sign) = (self.at, self.sign());
            let kind = match sign {
                None | Some(b' ' | b'|') => break,
                Some(b'[') if open.len() < SPLIT_DEPTH => {
                    self.at += 1;
                    open.push((from, std::mem::take(&mut cells)));
                    continue;
                }
                Some(b']') if !cells.is_empty() => {
                    self.at += 1;
                    let (bracket, before) = open.pop()?;
                    from = bracket;
                    CellKind::Split(std::mem::replace(&mut cells, before))
                }
                Some(b'.') => self.silent(CellKind::Silence),
                Some(b'-') => self.silent(CellKind::Hold),
                Some(b'_') => self.silent(CellKind::TiedHold),
                Some(_) => CellKind::Hit(self.hit()?),
            };
            if cells.len() == if open.is_empty() { GROUP_CELLS } else { SPLIT_CELLS } {
                return None;
            }
            cells.push(Cell { kind, span: self.since(from) });
        }
        cells.shrink_to_fit();
        let span = self.since(start);
        open.is_empty().then_some(CellGroup { cells, spread: None, across: None, span })
    }

    fn silent(&mut self, kind: CellKind) -> CellKind {
        self.at += 1;
        kind
    }

    fn hit(&mut self) -> Option<Hit> {
        let mut ticks = 0;
        while self.takes(b'\'') {
            ticks += 1;
        }
        let mut hit = struck(WrittenGrace::Ticks(u8::try_from(ticks).ok()?));
        self.strike(&mut hit)?;
        while self.takes(b'+') {
            self.strike(&mut hit)?;
        }
        (ticks <= ORNAMENTS && hit.strikes.len() <= STRIKES).then_some(hit)
    }

    /// A letter with its accent, or in the brackets of a ghost note.
    fn strike(&mut self, hit: &mut Hit) -> Option<()> {
        let from = self.at;
        let marcato = self.takes(b'^').then(|| self.since(from));
        let start = self.at;
        let ghost = self.takes(b'(');
        let letter = self.at;
        self.at += usize::from(self.sign().is_some_and(|sign| sign.is_ascii_alphabetic()));
        let text = self.piece.text.get(letter..self.at).filter(|text| !text.is_empty())?;
        if ghost && !self.takes(b')') {
            return None;
        }
        strike(hit, text, self.since(start), marcato, ghost);
        Some(())
    }
}
