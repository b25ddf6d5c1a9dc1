//! The outline: headings and exercises as a tree.

use super::place::{SetPage, destination};
use super::written::WrittenObjects;
use crate::drawing::{Drawing, OutlineEntry};
use lopdf::{Dictionary, Document, ObjectId, dictionary};

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
    for ((entry, branch), id) in entries.iter().zip(&branches).zip(&ids) {
        let mut dict = dictionary! {
            "Title" => lopdf::text_string(&entry.title),
            "Parent" => branch.parent.and_then(|parent| ids.get(parent).copied()).unwrap_or(root_id),
        };
        if let Some(SetPage { id, size }) = pages.get(entry.page) {
            dict.set("Dest", destination(*size, *id, entry.y));
        }
        let sides = [("Prev", branch.previous), ("Next", branch.next)];
        name(&mut dict, &ids, sides);
        name(&mut dict, &ids, [("First", branch.first), ("Last", branch.last)]);
        if branch.below > 0 {
            dict.set("Count", -branch.below);
        }
        written.put(*id, &dict.into());
    }
    let mut dict = dictionary! { "Type" => "Outlines", "Count" => root.below };
    name(&mut dict, &ids, [("First", root.first), ("Last", root.last)]);
    written.put(root_id, &dict.into());
    Some(root_id)
}

/// Names other entries in the dictionary of one.
fn name(dict: &mut Dictionary, ids: &[ObjectId], others: [(&str, Option<usize>); 2]) {
    for (key, other) in others {
        if let Some(id) = other.and_then(|other| ids.get(other)) {
            dict.set(key, *id);
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
