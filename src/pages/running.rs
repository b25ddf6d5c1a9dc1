//! Head and foot of a page. In a book the chapter stands over right-hand pages, the book or its part
//! over left-hand ones, at the outer edge; at the foot stand the copyright and the page number.

use super::sheet::Sheet;
use crate::drawing::{Kind, Mark, Node, OutlineEntry, Shape};
use crate::font::{FaceStyle, Fonts, GlyphRun};
use kurbo::{Point, Vec2};
use std::sync::Arc;

/// Baseline of the head, as a share of the top margin (common practice, no source).
const HEAD_AT: f64 = 0.6;
/// Baseline of the foot, as a share of the bottom margin (common practice, no source).
const FOOT_AT: f64 = 0.5;
/// After words that are cut.
const DOTS: &str = " ...";
/// Room at either side of a copyright for the page's number, in ems (common practice, no source).
const BESIDE_COPYRIGHT: f64 = 3.0;

/// What stands over each page. Built once, read page by page.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Running {
    book: Option<Arc<str>>,
    /// The page of the index, which belongs to no part.
    index: usize,
    /// Parts and chapters, in order.
    chapters: Vec<OutlineEntry>,
    /// Parts alone, by their places among these.
    parts: Vec<usize>,
}

impl Running {
    /// The heads of a book with these parts and chapters, whose index begins on a page.
    pub fn new(
        book: Option<&str>,
        chapters: impl Iterator<Item = OutlineEntry>,
        index: usize,
    ) -> Self {
        let chapters: Vec<OutlineEntry> = chapters.collect();
        let is_part = |(_, entry): &(usize, &OutlineEntry)| entry.level == 0;
        let parts = chapters.iter().enumerate().filter(is_part).map(|(at, _)| at).collect();
        Self { book: book.map(Into::into), index, chapters, parts }
    }

    /// The words over a page, by its index. None over a page that a chapter opens, or where no
    /// chapter has begun.
    pub fn over(&self, page: usize, sheet: &Sheet) -> Option<Arc<str>> {
        let begun = self.chapters.partition_point(|entry| entry.page < page);
        let opens = self.chapters.get(begun).is_some_and(|entry| {
            // It stands at the head of this page, not further down on it.
            entry.page == page && entry.y <= sheet.top + 1.0
        });
        let chapter = self.chapters.get(begun.checked_sub(1)?)?;
        if opens {
            return None;
        }
        if page.is_multiple_of(2) {
            // A part that has no chapter yet stands over its own pages.
            return Some(chapter.title.clone());
        }
        let title = |at: &usize| self.chapters.get(*at).map(|entry| entry.title.clone());
        let before = |at: &usize| self.chapters.get(*at).is_some_and(|entry| entry.page < page);
        let part = self.parts.partition_point(before).checked_sub(1);
        let part = part.and_then(|part| self.parts.get(part)).filter(|_| page < self.index);
        part.and_then(title).or_else(|| self.book.clone())
    }
}

/// The words as a mark at the outer edge, cut where they are wider than the page.
pub fn head(fonts: &Fonts, sheet: &Sheet, words: &str, page: usize) -> Node {
    let size = sheet.foot;
    let room = sheet.text_width();
    let run = fitting(fonts, words, FaceStyle::Italic, room / size);
    let outside = if page.is_multiple_of(2) { room - run.width * size } else { 0.0 };
    // Tall letters stay on a page whose margin is hardly taller than they are.
    let rise = -fonts.text.bounds(&run).y0 * size;
    let at = Point::new(sheet.left(page + 1) + outside, (sheet.top * HEAD_AT).max(rise));
    Node::Mark(Mark::new(Kind::RunningHead, Shape::Text { run, at, size }))
}

/// The copyright line in the middle of the foot of a page, by its index, and the page's number
/// outside.
pub fn foot(
    fonts: &Fonts,
    sheet: &Sheet,
    page: usize,
    copyright: Option<&str>,
    label: Option<&str>,
) -> Vec<Node> {
    let number = page + 1;
    let size = sheet.foot;
    let y = sheet.height - sheet.bottom * FOOT_AT;
    let outside = if sheet.mirrored() && number.is_multiple_of(2) { 0.0 } else { 1.0 };
    let put = |(text, share): (&str, f64)| {
        // The page's number has its room at either side.
        let room =
            sheet.text_width() / size - if share == 0.5 { 2.0 * BESIDE_COPYRIGHT } else { 0.0 };
        let run = fitting(fonts, text, FaceStyle::Regular, room);
        let room = sheet.text_width() - run.width * size;
        let at = Point::new(sheet.left(number), y) + Vec2::new(room * share, 0.0);
        Node::Mark(Mark::new(Kind::Foot, Shape::Text { run, at, size }))
    };
    let words = [copyright.map(|words| (words, 0.5)), label.map(|words| (words, outside))];
    words.into_iter().flatten().map(put).collect()
}

/// Words no wider than a width in ems: what is too long ends early, with dots, and where these have no room
/// nothing stands.
fn fitting(fonts: &Fonts, words: &str, face: FaceStyle, width: f64) -> Arc<GlyphRun> {
    let whole = fonts.text.shape(words, face);
    if whole.width <= width {
        return whole;
    }
    let dots = fonts.text.shape(DOTS, face).width;
    if dots > width {
        return fonts.text.shape("", face);
    }
    let fits = whole.glyphs().take_while(|glyph| glyph.x + glyph.advance + dots <= width);
    let end = fits.last().map_or(0, |glyph| glyph.cluster as usize);
    let kept = words.get(..end).unwrap_or_default();
    // A word that is cut is left out, unless it is the first.
    let kept = kept.rfind(' ').map_or(kept, |space| &kept[..space]);
    fonts.text.shape(&format!("{}{DOTS}", kept.trim_end()), face)
}
