//! A file and those it includes, as one tree.

use super::codes;
use super::file::FileTree;
use super::tree::{Document, FileStart, Item, Setting};
use crate::parallel::{Each, map_in_order};
use crate::rope::Rope;
use crate::source::{Diagnostics, FileId, Included, Source};
use std::sync::Arc;

/// Reads a whole file, with the files it includes in their places. Every fault found goes to
/// `diagnostics`; what could be read is returned all the same, so that later stages can report
/// theirs in the same run.
pub fn parse(source: &Source, diagnostics: &mut Diagnostics) -> Document {
    let files = (0..source.files()).map(FileId).collect();
    let trees = map_in_order(Each::Large, files, |file| FileTree::read(source.text_of(file)));
    let mut read = |file: FileId, diagnostics: &mut Diagnostics| {
        let start = source.span_of(file).start();
        let Some(tree) = trees.get(file.0) else { return FileItems::default() };
        tree.report(start, diagnostics);
        let (header, includes) = (tree.header(start).into(), tree.includes());
        FileItems { header, items: tree.items(start).collect(), includes }
    };
    join(source, &mut read, diagnostics)
}

/// What a file holds, with its places in the source.
#[derive(Clone, Debug, Default)]
pub struct FileItems {
    /// Its header.
    pub header: Arc<[Setting]>,
    /// What follows it.
    pub items: Rope<Item>,
    /// Which of these include other files, by index.
    pub includes: Vec<usize>,
}

/// A file of which the first items are joined.
struct Open {
    items: Rope<Item>,
    includes: std::vec::IntoIter<usize>,
    /// The item that comes next.
    at: usize,
}

impl Open {
    fn new(items: Rope<Item>, includes: Vec<usize>) -> Self {
        Self { items, includes: includes.into_iter(), at: 0 }
    }

    /// The items up to one; those of a file that includes none are shared.
    fn up_to(&mut self, end: usize) -> Rope<Item> {
        let start = std::mem::replace(&mut self.at, end + 1);
        match start == 0 && end >= self.items.len() {
            true => self.items.clone(),
            false => self.items.range(start..end.max(start)).cloned().collect(),
        }
    }
}

/// Puts files together that were read: the items of those that are included in the place of the lines
/// that include them. `read` gives what a file of the source holds, and tells what was found in it.
pub fn join(
    source: &Source,
    read: &mut dyn FnMut(FileId, &mut Diagnostics) -> FileItems,
    diagnostics: &mut Diagnostics,
) -> Document {
    let FileItems { header, items: main, includes } = read(FileId::MAIN, diagnostics);
    let mut refused = Diagnostics::default();
    let mut items = Rope::default();
    let mut open = vec![Open::new(main, includes)];
    // Where files begin and end; they stand apart, so that those of each file stay together.
    let mut between: Vec<Item> = Vec::new();
    while let Some(file) = open.last_mut() {
        let next = file.includes.next();
        let own = file.up_to(next.unwrap_or(file.items.len()));
        if !own.is_empty() {
            items.append(&std::mem::take(&mut between).into());
            items.append(&own);
        }
        let Some(next) = next else {
            open.pop();
            if !open.is_empty() {
                between.push(Item::FileEnd);
            }
            continue;
        };
        let Some(Item::Include(name)) = file.items.get(next).cloned() else { continue };
        match source.included(name.span.start()) {
            Some(Included::File(id)) => {
                let FileItems { header, items, includes } = read(*id, diagnostics);
                between.push(Item::FileStart(FileStart { header, span: name.span }));
                open.push(Open::new(items, includes));
            }
            Some(Included::Refused(message, mend)) => {
                refused.error(name.span, message.clone()).code(codes::INCLUDE_REFUSED).mend(mend);
            }
            None => {
                refused
                    .error(name.span, "other files can't be read here")
                    .code(codes::INCLUDE_UNAVAILABLE)
                    .mend("write out what that file says in place of this line");
            }
        }
    }
    items.append(&between.into());
    diagnostics.absorb(refused, 0);
    Document { header, items }
}
