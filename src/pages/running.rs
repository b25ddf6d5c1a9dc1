//! The head of a page in a book: the chapter over right-hand pages, the book or its part over
//! left-hand ones, at the outer edge.

use super::sheet::Sheet;
use crate::drawing::{Kind, Mark, Node, OutlineEntry, Shape};
use crate::font::{FaceStyle, Fonts};
use kurbo::Point;

/// What stands over each page. Built once, read page by page.
pub struct Running<'a> {
    book: Option<&'a str>,
    /// The page of the index, which belongs to no part.
    index: usize,
    /// Parts and chapters, in order.
    entries: Vec<&'a OutlineEntry>,
    /// Parts alone.
    parts: Vec<&'a OutlineEntry>,
}

impl<'a> Running<'a> {
    /// The heads of a book with this outline, whose index begins on a page.
    pub fn new(book: Option<&'a str>, outline: &'a [OutlineEntry], index: usize) -> Self {
        let entries = outline.iter().filter(|entry| entry.level <= 1).collect();
        Self {
            book,
            index,
            entries,
            parts: outline.iter().filter(|entry| entry.level == 0).collect(),
        }
    }

    /// The words over a page, by its index. None over a page that a chapter opens, or where no
    /// chapter has begun.
    pub fn over(&self, page: usize, sheet: &Sheet) -> Option<&'a str> {
        let begun = self.entries.partition_point(|entry| entry.page < page);
        let opens = self.entries.get(begun).is_some_and(|entry| {
            // It stands at the head of this page, not further down on it.
            entry.page == page && entry.y <= sheet.top + 1.0
        });
        let (past, _) = self.entries.split_at_checked(begun)?;
        let chapter = past.last()?;
        if opens {
            return None;
        }
        if page.is_multiple_of(2) {
            // A part that has no chapter yet stands over its own pages.
            return Some(&chapter.title);
        }
        let part = self.parts.partition_point(|part| part.page < page).checked_sub(1);
        let part = part.and_then(|part| self.parts.get(part)).filter(|_| page < self.index);
        part.map(|part| part.title.as_str()).or(self.book)
    }
}

/// The words as a mark at the outer edge, cut where they are wider than the page.
pub fn head(fonts: &Fonts, sheet: &Sheet, words: &str, page: usize) -> Node {
    let size = sheet.foot;
    let width = |words: &str| fonts.text.shape(words, FaceStyle::Italic).width * size;
    let room = sheet.text_width();
    let mut shown = words.to_owned();
    while width(&shown) > room {
        let bare = shown.trim_end_matches(" ...");
        match bare.rfind(' ') {
            Some(end) => shown = format!("{} ...", &bare[..end]),
            None => break,
        }
    }
    let run = fonts.text.shape(&shown, FaceStyle::Italic);
    let outside = if page.is_multiple_of(2) { room - run.width * size } else { 0.0 };
    let at = Point::new(sheet.left(page + 1) + outside, sheet.top * 0.6);
    Node::Mark(Mark::new(Kind::RunningHead, Shape::Text { run, at, size }))
}
