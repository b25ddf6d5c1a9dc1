//! Which pages of a layout look otherwise than in the one before.

use super::column::ColumnPiece;
use super::layout::Layout;
use crate::rope::Change;
use crate::score::Header;
use std::ops::Range;
use std::sync::Arc;

impl Layout {
    /// The pages that look otherwise than those of the same index in another layout under the same header, or
    /// all; those past the last are gone. Pieces are compared by where they lie in memory: one that was set anew
    /// looks different.
    pub fn changed_from(&self, old: &Self, header: &Header, all: bool) -> Vec<usize> {
        let changes = self.pieces.changes_from(&old.pieces, ColumnPiece::is_as);
        let around = !all
            && (self.pages() > 1) == (old.pages() > 1)
            && (self.first_of_body, self.labels) == (old.first_of_body, old.labels)
            && self.running == old.running;
        let renumbered = self.listed.pages != old.listed.pages || self.stands != old.stands;
        let changed = |page: &usize| {
            all || match around && self.has_same_pieces(old, *page, &changes) {
                true => renumbered && self.differs_in_numbers(old, *page),
                false => self.differs(old, header, *page),
            }
        };
        let changed = (0..self.pages()).filter(changed);
        changed.chain(self.pages()..old.pages()).collect()
    }

    /// Whether a page has the very pieces that it had, where pieces changed so, in order.
    fn has_same_pieces(&self, old: &Self, page: usize, changes: &[Change]) -> bool {
        let (Some(own), Some(its)) = (self.leaves.get(page), old.leaves.get(page)) else {
            return false;
        };
        let Range { start, end } = own.pieces;
        let (before, after) =
            changes.split_at(changes.partition_point(|change| change.new.end <= start));
        let start = before.last().map_or(start, |last| start - last.new.end + last.old.end);
        own.gaps == its.gaps
            && its.pieces == (start..start + own.pieces.len())
            && after.first().is_none_or(|next| next.new.start >= end)
    }

    /// Whether other pages are named on a page that is the same else; pages are numbered as they were.
    fn differs_in_numbers(&self, old: &Self, page: usize) -> bool {
        self.pieces_of(page).any(|piece| self.named(piece).ne(old.named(piece)))
    }

    /// Whether a page looks otherwise than that of the same index in another layout.
    fn differs(&self, other: &Self, header: &Header, page: usize) -> bool {
        let around = |layout: &Self| {
            (layout.sheet.left(page + 1), layout.head(header, page), layout.label(page))
        };
        let label = |layout: &Self, page: Option<usize>| page.map(|page| layout.labels.of(page));
        let same = |(own, y): (&ColumnPiece, f64), (its, other_y): (&ColumnPiece, f64)| {
            let named = self.named(own).map(|page| label(self, page));
            Arc::ptr_eq(&own.piece, &its.piece)
                && y == other_y
                && named.eq(other.named(its).map(|page| label(other, page)))
        };
        let mut its = other.on_page(page);
        let mut own = self.on_page(page);
        let same = own.all(|own| its.next().is_some_and(|its| same(own, its)));
        // Where a page more stands before it, its first piece is another.
        page >= other.pages() || !same || its.next().is_some() || around(self) != around(other)
    }
}
