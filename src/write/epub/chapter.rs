//! Chapters: where the body is divided, and each as XHTML.

use crate::pages::flowing::{Flowing, FlowingIndex, FlowingItem};
use crate::write::html::{HtmlWords, Leads, block, escape, figure};
use crate::write::svg::SharedPictures;

/// The widths of a book's music, from the narrowest; what is wider than a page of a book is left out.
const WIDTHS: usize = 2;

/// How a picture begins in XML, which has to say what its elements are.
const SVG: &str = "<svg xmlns=\"http://www.w3.org/2000/svg\" ";

/// A chapter, or a part's own page, or what stands before the first of them.
pub(super) struct Chapter<'a> {
    /// The name of its file.
    pub(super) file: String,
    /// The words of its heading; the book's where it has none.
    pub(super) title: &'a str,
    /// What it is to a reader (EPUB 3 Structural Semantics Vocabulary), where it is something.
    kind: Option<&'static str>,
    items: &'a [FlowingItem],
}

/// A body in chapters; a heading of a chapter or a part begins the next.
pub(super) fn divided<'a>(flowing: &'a Flowing, book: &'a str) -> Vec<Chapter<'a>> {
    let opens = |item: &FlowingItem| matches!(item, FlowingItem::Heading { level: 0 | 1, .. });
    let mut starts: Vec<usize> = flowing
        .items
        .iter()
        .enumerate()
        .filter(|(_, item)| opens(item))
        .map(|(at, _)| at)
        .collect();
    if starts.first() != Some(&0) {
        starts.insert(0, 0);
    }
    let ends = starts.iter().skip(1).copied().chain([flowing.items.len()]);
    let items = starts.iter().zip(ends).filter_map(|(start, end)| flowing.items.get(*start..end));
    let items = items.filter(|items| !items.is_empty());
    items
        .enumerate()
        .map(|(index, items)| {
            let (title, kind) = match items.first() {
                Some(FlowingItem::Heading { level, id, .. }) => {
                    let entry = flowing.outline.iter().find(|entry| entry.to == *id);
                    let title = entry.map(|entry| entry.words.as_str());
                    let kind = if *level == 0 { "part" } else { "chapter" };
                    (title.filter(|title| !title.trim().is_empty()), Some(kind))
                }
                Some(FlowingItem::Prose(_) | FlowingItem::Music(_)) | None => (None, None),
            };
            let file = format!("chapter-{}.xhtml", index + 1);
            Chapter { file, title: title.unwrap_or(book), kind, items }
        })
        .collect()
}

/// The chapter each place stands in; the lists of the index stand in a file of their own.
pub(super) fn leads(chapters: &[Chapter<'_>], lists: &[FlowingIndex], index: &str) -> Leads {
    let places = chapters.iter().flat_map(|chapter| {
        chapter.items.iter().filter_map(|item| match item {
            FlowingItem::Heading { id, .. } => Some((id.clone(), chapter.file.clone())),
            FlowingItem::Music(music) => Some((music.id.clone(), chapter.file.clone())),
            FlowingItem::Prose(_) => None,
        })
    });
    let lists = lists.iter().map(|list| (list.id.clone(), index.to_owned()));
    Leads(places.chain(lists).collect())
}

/// What stands in the body of a chapter's file.
pub(super) fn body(
    chapter: &Chapter<'_>,
    words: &mut HtmlWords<'_>,
    pictures: &mut SharedPictures<'_>,
) -> String {
    pictures.next_file();
    let mut body = String::new();
    for item in chapter.items {
        match item {
            FlowingItem::Heading { level, text, id } => {
                let level = (*level).max(1);
                let (id, text) = (escape(id), words.words(text));
                body.push_str(&format!("<h{level} id=\"{id}\">{text}</h{level}>\n"));
            }
            FlowingItem::Prose(own) => {
                words.at = own.at;
                body.push_str(&block(own, words));
            }
            FlowingItem::Music(music) => body.push_str(&figure(music, WIDTHS, "", pictures)),
        }
    }
    let kind = chapter.kind.map(|kind| format!(" epub:type=\"{kind}\"")).unwrap_or_default();
    let body = format!("{}<section{kind}>\n{body}</section>\n", pictures.definitions());
    // A web page knows pictures by their name alone. Words hold no `<`, so that it is no word of theirs.
    body.replace("<svg ", SVG)
}
