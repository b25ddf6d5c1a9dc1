//! A file and those it includes, as one tree.

use super::tree::{Document, FileStart, Item};
use super::{codes, file};
use crate::source::{Diagnostics, FileId, Included, Source};

/// Reads a whole file, with the files it includes in their places. Every fault found goes to
/// `diagnostics`; what could be read is returned all the same, so that later stages can report
/// theirs in the same run.
pub fn parse(source: &Source, diagnostics: &mut Diagnostics) -> Document {
    let main = file::read(source, FileId::MAIN, diagnostics);
    join(source, main, diagnostics)
}

/// Puts the items of included files in the place of the lines that include them.
fn join(source: &Source, main: Document, diagnostics: &mut Diagnostics) -> Document {
    if !main.items.iter().any(|item| matches!(item, Item::Include(_))) {
        return main;
    }
    let mut items = Vec::with_capacity(main.items.len());
    let mut open = vec![main.items.into_iter()];
    while let Some(file) = open.last_mut() {
        match file.next() {
            Some(Item::Include(name)) => match source.included(name.span.start) {
                Some(Included::File(id)) => {
                    let document = file::read(source, *id, diagnostics);
                    let start = FileStart { header: document.header, span: name.span };
                    items.push(Item::FileStart(start));
                    open.push(document.items.into_iter());
                }
                Some(Included::Refused(message, mend)) => {
                    diagnostics.error(name.span, message).code(codes::INCLUDE_REFUSED).mend(mend);
                }
                None => {
                    diagnostics
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
    Document { items, ..main }
}
