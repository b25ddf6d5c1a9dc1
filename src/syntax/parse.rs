//! A file and those it includes, as one tree.

use super::codes;
use super::file::FileTree;
use super::tree::{Document, FileStart, Item};
use crate::parallel::{Each, map_in_order};
use crate::source::{Diagnostics, FileId, Included, Source};
use std::borrow::Cow;

/// Reads a whole file, with the files it includes in their places. Every fault found goes to
/// `diagnostics`; what could be read is returned all the same, so that later stages can report
/// theirs in the same run.
pub fn parse(source: &Source, diagnostics: &mut Diagnostics) -> Document {
    let files = (0..source.files()).map(FileId).collect();
    let trees = map_in_order(Each::Large, files, |file| FileTree::read(source.text_of(file)));
    let tree = |file: FileId| match trees.get(file.0) {
        Some(tree) => Cow::Borrowed(tree),
        None => Cow::Owned(FileTree::default()),
    };
    join(source, &tree, diagnostics)
}

/// Puts files together that were read: the items of those that are included in the place of the lines
/// that include them. `tree` gives the tree of a file of the source.
pub fn join<'t>(
    source: &Source,
    tree: &dyn Fn(FileId) -> Cow<'t, FileTree>,
    diagnostics: &mut Diagnostics,
) -> Document {
    let mut read = |file: FileId| {
        let tree = tree(file);
        let start = source.span_of(file).start;
        tree.report(start, diagnostics);
        (tree.header(start), tree.items(start).collect::<Vec<Item>>().into_iter())
    };
    let (header, main) = read(FileId::MAIN);
    let mut refused = Diagnostics::default();
    let mut items = Vec::with_capacity(main.len());
    let mut open = vec![main];
    while let Some(file) = open.last_mut() {
        match file.next() {
            Some(Item::Include(name)) => match source.included(name.span.start) {
                Some(Included::File(id)) => {
                    let (header, included) = read(*id);
                    items.push(Item::FileStart(FileStart { header, span: name.span }));
                    open.push(included);
                }
                Some(Included::Refused(message, mend)) => {
                    refused.error(name.span, message).code(codes::INCLUDE_REFUSED).mend(mend);
                }
                None => {
                    refused
                        .error(name.span, "other files can't be read here")
                        .code(codes::INCLUDE_UNAVAILABLE)
                        .mend("write out what that file says in place of this line");
                }
            },
            Some(item) => items.push(item),
            None => {
                open.pop();
                if !open.is_empty() {
                    items.push(Item::FileEnd);
                }
            }
        }
    }
    diagnostics.absorb(refused, 0);
    Document { header, items }
}
