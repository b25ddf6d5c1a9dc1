//! The outline: headings and exercises as a tree.

use super::object;
use super::object::put_reference;
use super::operand::put_integer;
use super::place::{SetPage, put_destination};
use super::written::WrittenObjects;
use crate::drawing::{Drawing, OutlineEntry};
use lopdf::{Document, ObjectId};

/// An entry of the outline with its neighbours; all are indices of entries.
#[derive(Clone, Default)]
struct Branch {
    parent: Option<usize>,
    previous: Option<usize>,
    next: Option<usize>,
    first: Option<usize>,
    last: Option<usize>,
    below: i64,
}

/// The outline as it is written.
struct Outline<'a> {
    root: ObjectId,
    /// The object of each entry.
    ids: &'a [ObjectId],
    pages: &'a [SetPage],
}

/// Writes the outline (ISO 32000-1, 12.3.3), where there is one. The branches under the outermost are
/// closed.
pub(super) fn write(
    (document, written): (&mut Document, &mut WrittenObjects),
    drawing: &Drawing,
    pages: &[SetPage],
) -> Option<ObjectId> {
    let entries = &drawing.outline;
    if entries.is_empty() {
        return None;
    }
    let (root, branches) = branches(entries);
    let root_id = document.new_object_id();
    let ids: Vec<ObjectId> = entries.iter().map(|_| document.new_object_id()).collect();
    let all: Vec<_> = entries.iter().zip(&branches).collect();
    let outline = Outline { root: root_id, ids: &ids, pages };
    written.put_all(&ids, &all, |out, _, (entry, branch)| outline.put_entry(out, entry, branch));
    written.put_with(root_id, |out| {
        out.extend_from_slice(b"<</Type/Outlines/Count ");
        put_integer(out, root.below);
        outline.put_ends(out, &root);
        out.extend_from_slice(b">>");
    });
    Some(root_id)
}

impl Outline<'_> {
    /// Appends an entry. A book has thousands, so that they are not made into objects first.
    fn put_entry(&self, out: &mut Vec<u8>, entry: &OutlineEntry, branch: &Branch) {
        out.extend_from_slice(b"<</Title");
        object::put(out, &lopdf::text_string(&entry.title));
        out.extend_from_slice(b"/Parent ");
        let parent = branch.parent.and_then(|parent| self.ids.get(parent));
        put_reference(out, *parent.unwrap_or(&self.root));
        if let Some(page) = self.pages.get(entry.page) {
            out.extend_from_slice(b"/Dest");
            put_destination(out, *page, entry.y);
        }
        self.put_name(out, b"/Prev ", branch.previous);
        self.put_name(out, b"/Next ", branch.next);
        self.put_ends(out, branch);
        if branch.below > 0 {
            out.extend_from_slice(b"/Count ");
            put_integer(out, -branch.below);
        }
        out.extend_from_slice(b">>");
    }

    /// Appends the names of the first and the last entry of a branch.
    fn put_ends(&self, out: &mut Vec<u8>, branch: &Branch) {
        self.put_name(out, b"/First ", branch.first);
        self.put_name(out, b"/Last ", branch.last);
    }

    /// Appends the name of another entry.
    fn put_name(&self, out: &mut Vec<u8>, key: &[u8], other: Option<usize>) {
        if let Some(id) = other.and_then(|other| self.ids.get(other)) {
            out.extend_from_slice(key);
            put_reference(out, *id);
        }
    }
}

/// The outermost branch, and that of each entry: an entry lies under the last one before it of a lower
/// level.
fn branches(entries: &[OutlineEntry]) -> (Branch, Vec<Branch>) {
    let mut branches: Vec<Branch> = vec![Branch::default(); entries.len()];
    let mut root = Branch::default();
    let mut open: Vec<usize> = Vec::new();
    for (at, entry) in entries.iter().enumerate() {
        while open.last().is_some_and(|above| entries[*above].level >= entry.level) {
            open.pop();
        }
        let parent = open.last().copied();
        let above = match parent {
            Some(parent) => &mut branches[parent],
            None => &mut root,
        };
        let previous = above.last.replace(at);
        above.first.get_or_insert(at);
        above.below += 1;
        if let Some(previous) = previous {
            branches[previous].next = Some(at);
        }
        branches[at].parent = parent;
        branches[at].previous = previous;
        open.push(at);
    }
    (root, branches)
}
