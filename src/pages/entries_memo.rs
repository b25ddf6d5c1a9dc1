//! Entries of an index that were set before.

use super::labels::Labels;
use super::prose::ProseLine;
use std::collections::HashMap;
use std::sync::Arc;

/// What the entries of an index were set as. By default it keeps nothing.
#[derive(Debug, Default)]
pub struct EntriesMemo {
    keeps: bool,
    before: HashMap<String, SetEntry>,
    now: HashMap<String, SetEntry>,
}

#[derive(Debug)]
struct SetEntry {
    /// Blocks, and the pages they stand on.
    stands: Vec<(usize, usize)>,
    labels: Labels,
    lines: Arc<[ProseLine]>,
}

impl EntriesMemo {
    /// One that keeps what is set.
    pub fn keeping() -> Self {
        Self { keeps: true, ..Self::default() }
    }

    /// The lines of an entry of a list whose blocks stood on these pages.
    pub(super) fn known(
        &self,
        list: &str,
        words: &str,
        (stands, labels): (&[(usize, usize)], Labels),
    ) -> Option<Arc<[ProseLine]>> {
        if self.before.is_empty() {
            return None;
        }
        let known = self.before.get(&key(list, words))?;
        (known.stands == stands && known.labels == labels).then(|| known.lines.clone())
    }

    /// Keeps the lines of an entry.
    pub(super) fn keep(
        &mut self,
        list: &str,
        words: &str,
        (stands, labels): (Vec<(usize, usize)>, Labels),
        lines: &Arc<[ProseLine]>,
    ) {
        if self.keeps {
            let entry = SetEntry { stands, labels, lines: lines.clone() };
            self.now.insert(key(list, words), entry);
        }
    }

    /// Forgets the entries that were not kept since this was called before.
    pub(super) fn end_turn(&mut self) {
        self.before = std::mem::take(&mut self.now);
    }
}

/// No list has a line end in its title.
fn key(list: &str, words: &str) -> String {
    [list, words].join("\n")
}
