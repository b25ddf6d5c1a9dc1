//! Cells inside values, read as those of a `play` row.

use crate::source::Diagnostics;
use crate::syntax::Piece;
use crate::syntax::hits;
use crate::syntax::row::Reader;
use crate::syntax::tree::{CellGroup, Entry};

/// The groups of cells of a piece; nothing where it has a fault or a bar sign, or no group.
pub fn groups(piece: Piece<'_>) -> Option<Vec<CellGroup>> {
    let mut unheard = Diagnostics::default();
    let mut reader = Reader::new(&mut unheard);
    let entries = hits::read(&mut reader, piece);
    if reader.damaged || entries.is_empty() {
        return None;
    }
    let group = |entry| match entry {
        Entry::Group(group) => Some(group),
        Entry::Bar(_) | Entry::SameBar(_) => None,
    };
    entries.into_iter().map(group).collect()
}

/// The one group of cells of a piece.
pub fn group(piece: Piece<'_>) -> Option<CellGroup> {
    let mut groups = groups(piece)?;
    let only = groups.pop()?;
    groups.is_empty().then_some(only)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn count(text: &str) -> Option<Vec<usize>> {
        let groups = groups(Piece { text, start: 0 })?;
        Some(groups.iter().map(|group| group.cells.len()).collect())
    }

    #[test]
    fn cells_of_values() {
        assert_eq!(count("ssss s.ss"), Some(vec![4, 4]));
        assert_eq!(count("(s)"), Some(vec![1]));
        for text in ["", "s|s", "s§", "[ss", "%"] {
            assert_eq!(count(text), None, "{text}");
        }
        assert!(group(Piece { text: "kk", start: 0 }).is_some());
        assert!(group(Piece { text: "k k", start: 0 }).is_none());
    }
}
