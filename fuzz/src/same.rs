//! What must be the same.

use crate::{built, score_dump, tree_dump};
use flamacue::drawing::{Drawing, Page};
use flamacue::source::{Diagnostics, Source};
use flamacue::syntax;

/// The name of every text.
pub const NAME: &str = "fuzz.flam";

/// A text whose tree has no fault: its tree and its score without places, and itself formatted.
pub fn formatted(text: &str) -> Option<(String, String, String)> {
    let source = Source::new(NAME, text);
    let mut found = Diagnostics::default();
    let document = syntax::parse(&source, &mut found);
    if found.has_errors() {
        return None;
    }
    let formatted = syntax::format(&source, &document);
    let score = flamacue::understand_document(&source, &document, &mut found);
    Some((tree_dump::dump(&document), score_dump::score(&score), formatted))
}

/// How two drawings differ in what is seen of them.
pub fn seen(new: &Drawing, old: &Drawing) -> Option<String> {
    if new.pages.len() != old.pages.len() {
        return Some(format!("{} pages and {}", new.pages.len(), old.pages.len()));
    }
    let pages = || (1..).zip(new.pages.iter().zip(&old.pages));
    let differing = pages().find(|(_, (new, old))| ink(new) != ink(old));
    differing.map(|(number, _)| format!("the marks of page {number}"))
}

fn ink(page: &Page) -> Vec<String> {
    let page = Page { nodes: page.flat(), ..page.clone() };
    let marks = built::marks(&page).into_iter();
    marks.map(|mark| format!("{:?} {:?} {:?}", mark.kind, mark.ink, mark.shape)).collect()
}

/// How two drawings differ in anything, places too.
pub fn whole(new: &Drawing, old: &Drawing) -> Option<String> {
    if new.pages.len() != old.pages.len() {
        return Some(format!("{} pages and {}", new.pages.len(), old.pages.len()));
    }
    for (number, (new, old)) in (1..).zip(new.pages.iter().zip(&old.pages)) {
        if new.nodes != old.nodes || new.lines != old.lines {
            return Some(format!("the marks or the places of page {number}"));
        }
        if (new.width, new.height, &new.name) != (old.width, old.height, &old.name) {
            return Some(format!("the size or the name of page {number}"));
        }
    }
    (new.links != old.links || new.addresses != old.addresses || new.outline != old.outline)
        .then(|| "the links or the outline".to_owned())
}
