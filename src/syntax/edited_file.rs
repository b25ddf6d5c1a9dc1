//! A file that stays in memory and is edited: its tree, and its items in a sequence whose versions share what an
//! edit leaves as it was.

use super::file::{Change, FileTree, ReadAgain};
use super::parse::FileItems;
use super::tree::{Item, Setting};
use crate::rope::{Moved, Rope};
use crate::source::Diagnostics;
use std::sync::Arc;

/// A file that is edited.
#[derive(Debug, Default)]
pub struct EditedFile {
    tree: FileTree,
    /// Where the file started in the source it was part of last, and its items there.
    placed: Option<(usize, Rope<Item>)>,
    /// The same of its header.
    header: Option<(usize, Arc<[Setting]>)>,
}

impl EditedFile {
    /// Reads the text of a file.
    #[must_use]
    pub fn read(text: &str) -> Self {
        Self { tree: FileTree::read(text), ..Self::default() }
    }

    /// Reads what a change of the file touches; `text` is the whole text after it.
    pub fn edit(&mut self, text: &str, change: &Change) {
        self.header = None;
        let read = self.tree.edit(text, change);
        let (Some(ReadAgain { old, new }), Some((start, items))) = (read, self.placed.take())
        else {
            self.placed = None;
            return;
        };
        let own = self.tree.items_from(new.start, start).take(new.len()).collect();
        let by = change.bytes as isize - change.range.len() as isize;
        let after = Moved { items: old.end..items.len(), by };
        self.placed = Some((start, items.replaced_moving(old, own, (&[after], moved))));
    }

    /// What it holds in a source in which it starts at a byte; what was found in it is told.
    pub fn items(&mut self, start: usize, diagnostics: &mut Diagnostics) -> FileItems {
        self.tree.report(start, diagnostics);
        let items = match self.placed.take() {
            Some((at, items)) if at == start => items,
            Some((at, items)) => {
                let all = Moved { items: 0..items.len(), by: start as isize - at as isize };
                items.replaced_moving(0..0, Vec::new(), (&[all], moved))
            }
            None => self.tree.items(start).collect(),
        };
        self.placed = Some((start, items.clone()));
        let header = match self.header.take() {
            Some((at, header)) if at == start => header,
            Some(_) | None => self.tree.header(start).into(),
        };
        self.header = Some((start, header.clone()));
        FileItems { header, items, includes: self.tree.includes() }
    }
}

/// An item so many bytes further on.
fn moved(item: &Item, by: isize) -> Item {
    item.moved(|byte| byte.saturating_add_signed(by))
}
