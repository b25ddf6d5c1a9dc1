//! What stands before and between the chapters of a book: title page, part pages, and how pages are
//! numbered.

use super::breaking::Leaf;
use super::flow::{Heading, Opens, Piece, Setter};
use super::prose;
use crate::drawing::{Kind, Node};
use crate::font::FaceStyle;
use crate::score::Header;
use crate::score::Inline;
use crate::score::settings::Chapters;

/// Where the title stands on its page, and the words of a part on theirs, as a share of the page's
/// height (common practice, no source).
const TITLE_AT: f64 = 0.3;
const PART_AT: f64 = 0.35;
/// The title's size on a page of its own, as a multiple of its size over a text.
const LARGER: f64 = 1.4;

/// How pages are numbered: those in front in Roman numerals, the others from 1.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Labels {
    /// How many pages are numbered apart.
    pub front: usize,
}

impl Labels {
    /// The labels of a book whose body begins with the piece of an index.
    pub fn of_front(header: &Header, body: usize, leaves: &[Leaf]) -> Self {
        if !header.roman_front {
            return Self::default();
        }
        let first = leaves.iter().position(|leaf| leaf.pieces.end > body);
        Self { front: first.unwrap_or(leaves.len()) }
    }

    /// What is printed on a page, by its index.
    pub fn of(self, page: usize) -> String {
        match page.checked_sub(self.front) {
            Some(after) => (after + 1).to_string(),
            None => roman(page + 1),
        }
    }
}

/// A number in small Roman numerals.
fn roman(number: usize) -> String {
    const SIGNS: [(usize, &str); 13] = [
        (1000, "m"),
        (900, "cm"),
        (500, "d"),
        (400, "cd"),
        (100, "c"),
        (90, "xc"),
        (50, "l"),
        (40, "xl"),
        (10, "x"),
        (9, "ix"),
        (5, "v"),
        (4, "iv"),
        (1, "i"),
    ];
    let mut left = number;
    let mut written = String::new();
    for (value, sign) in SIGNS {
        written.push_str(&sign.repeat(left / value));
        left %= value;
    }
    written
}

/// Says where the contents and the body open, which begin with the pieces of these indices.
pub fn open(pieces: &mut [Piece], (contents, body): (usize, usize), header: &Header) {
    let mut at_least = |index: usize, opens: Opens| {
        if let Some(piece) = pieces.get_mut(index)
            && piece.opens != Opens::RightPage
            && opens != Opens::Anywhere
        {
            piece.opens = opens;
        }
    };
    if header.title_page {
        at_least(contents, after_title(header));
        at_least(body, Opens::NewPage);
    }
    if header.roman_front && body > 0 {
        at_least(body, Opens::RightPage);
    }
}

/// Where what follows a title page opens: on a right-hand page in a book that has such.
fn after_title(header: &Header) -> Opens {
    if header.chapters == Chapters::RightPage || header.binding.is_some() {
        Opens::RightPage
    } else {
        Opens::NewPage
    }
}

/// Where a chapter or a part opens.
pub fn opening(header: &Header) -> Opens {
    match header.chapters {
        Chapters::Follow => Opens::Anywhere,
        Chapters::NewPage => Opens::NewPage,
        Chapters::RightPage => Opens::RightPage,
    }
}

impl Setter<'_> {
    /// Title, subtitle, level and author on a page of their own, and the copyright at its foot.
    pub fn title_page(&self, header: &Header) -> Piece {
        let sheet = self.sheet;
        let room = sheet.floor() - sheet.top;
        let mut page = self.bare_page();
        let mut y = room * TITLE_AT;
        let rows = [
            (&header.title, Kind::Title, FaceStyle::Bold, sheet.title * LARGER, 0.0),
            (&header.subtitle, Kind::Subtitle, FaceStyle::Italic, sheet.subtitle * LARGER, 10.0),
            (&header.level, Kind::Author, FaceStyle::Regular, sheet.prose, 10.0),
            (&header.author, Kind::Author, FaceStyle::Regular, sheet.subtitle, 40.0),
        ];
        for (text, kind, style, size, before) in rows {
            let Some(text) = text else { continue };
            y += before;
            y = self.centred(&mut page, text, (kind, style, size), y);
        }
        if let Some(copyright) = &header.copyright {
            let y = room - sheet.foot * sheet.leading;
            self.centred(&mut page, copyright, (Kind::Foot, FaceStyle::Regular, sheet.foot), y);
        }
        page
    }

    /// The words of a part on a page of their own.
    pub fn part_page(&self, text: &[Inline]) -> Piece {
        let sheet = self.sheet;
        let mut page = self.bare_page();
        let words = prose::words(text);
        let y = (sheet.floor() - sheet.top) * PART_AT;
        self.centred(&mut page, &words, (Kind::Heading, FaceStyle::Bold, sheet.title), y);
        page.headings = vec![Heading { level: 0, words, block: None }];
        page
    }

    /// A piece as tall as a page, without a head and a foot.
    fn bare_page(&self) -> Piece {
        let height = self.sheet.floor() - self.sheet.top;
        Piece { height, begins: true, bare: true, ..Piece::default() }
    }

    /// Adds centred lines to a piece; where they end.
    fn centred(
        &self,
        page: &mut Piece,
        text: &str,
        (kind, style, size): (Kind, FaceStyle, f64),
        mut y: f64,
    ) -> f64 {
        let width = self.sheet.text_width();
        let plain = [Inline::Text(text.to_owned())];
        for marks in prose::lines(self.fonts, &plain, style, size, width, kind) {
            let x = (width - super::flow::row_width(&marks)) / 2.0;
            let row = self.row(marks, x, size, 0.0);
            page.nodes.extend(row.nodes.into_iter().map(|node: Node| node.transform(1.0, 0.0, y)));
            y += size * self.sheet.leading;
        }
        y
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The usual table of Roman numerals.
    #[test]
    fn front_pages_are_numbered_apart() {
        let labels = Labels { front: 6 };
        let said: Vec<String> = (0..8).map(|page| labels.of(page)).collect();
        assert_eq!(said, ["i", "ii", "iii", "iv", "v", "vi", "1", "2"]);
        assert_eq!(roman(1994), "mcmxciv");
        assert_eq!(roman(48), "xlviii");
    }
}
