//! What stands at the head of a file: its title, or a title page; and the pages of parts.

use super::passage::group;
use super::piece::{OutlineHeading, Piece, grouped};
use super::prose;
use super::prose::WordStyle;
use super::setter::{Setter, as_large_as_fits, row_width};
use crate::drawing::{Kind, Mark, Prose};
use crate::font::FaceStyle;
use crate::score::{Header, Inline};
use kurbo::Vec2;

/// Where the title stands on its page, and the words of a part on theirs, as a share of the page's
/// height (common practice, no source).
const TITLE_AT: f64 = 0.3;
const PART_AT: f64 = 0.35;
/// The size of a title and of a part on a page of their own, as a multiple of their size over a text.
const LARGER: f64 = 1.4;
/// Room over the lines of a title page under its title: the subtitle and the level, and the author, in
/// points (common practice, no source).
const OVER_SUBTITLE: f64 = 10.0;
const OVER_AUTHOR: f64 = 40.0;
/// Room over the subtitle, and over the line of author and level, where they stand over the text; in
/// points (common practice, no source).
const UNDER_TITLE: f64 = 3.0;
const OVER_AUTHOR_LINE: f64 = 6.0;
/// Between author and level.
const BETWEEN: &str = "\u{2002}·\u{2002}";

/// Words of a page of their own.
pub(super) struct PageWords<'a> {
    pub(super) text: &'a str,
    pub(super) style: WordStyle,
    /// Room over them.
    pub(super) before: f64,
    pub(super) said: Prose,
}

impl Setter<'_> {
    /// The title block.
    pub fn title(&self, header: &Header) -> Vec<Piece> {
        let sheet = self.sheet;
        let title = WordStyle { kind: Kind::Title, face: FaceStyle::Semibold, size: sheet.title };
        let subtitle =
            WordStyle { kind: Kind::Subtitle, face: FaceStyle::Italic, size: sheet.subtitle };
        let mut pieces = Vec::new();
        for (text, style, before, prose) in [
            (&header.title, title, 0.0, Prose::Title),
            (&header.subtitle, subtitle, UNDER_TITLE, Prose::Subtitle),
        ] {
            let Some(text) = text else { continue };
            for (marks, x) in self.centred_lines(text, style) {
                let row = self.row(marks, x, style.size, before);
                pieces.extend(grouped(vec![row], prose.clone()));
            }
        }
        if header.author.is_some() || header.level.is_some() {
            let words = [header.author.as_deref(), header.level.as_deref()];
            let words: Vec<&str> = words.into_iter().flatten().collect();
            let style =
                WordStyle { kind: Kind::Author, face: FaceStyle::Regular, size: sheet.prose };
            for (marks, x) in self.centred_lines(&words.join(BETWEEN), style) {
                let row = self.row(marks, x, style.size, OVER_AUTHOR_LINE);
                pieces.extend(grouped(vec![row], Prose::Author));
            }
        }
        pieces
    }

    /// Title, subtitle, level and author on a page of their own, and at its foot the copyright, where no
    /// imprint has it.
    pub fn title_page(&self, header: &Header) -> Piece {
        let sheet = self.sheet;
        let style = |kind, face, size| WordStyle { kind, face, size };
        let bold = style(Kind::Title, FaceStyle::Semibold, sheet.title * LARGER);
        let italic = style(Kind::Subtitle, FaceStyle::Italic, sheet.subtitle * LARGER);
        let level = style(Kind::Author, FaceStyle::Regular, sheet.prose);
        let author = style(Kind::Author, FaceStyle::Regular, sheet.subtitle);
        let words = [
            (&header.title, bold, 0.0, Prose::Title),
            (&header.subtitle, italic, OVER_SUBTITLE, Prose::Subtitle),
            (&header.level, level, OVER_SUBTITLE, Prose::Author),
            (&header.author, author, OVER_AUTHOR, Prose::Author),
        ];
        let words: Vec<_> = words
            .into_iter()
            .filter_map(|(text, style, before, said)| {
                Some(PageWords { text: text.as_deref()?, style, before, said })
            })
            .collect();
        let mut page = self.page_of_words(&words, TITLE_AT);
        let copyright = header.copyright.as_ref().filter(|_| !header.front.has_imprint());
        if let Some(copyright) = copyright {
            let style = style(Kind::Foot, FaceStyle::Regular, sheet.foot);
            let said = Prose::Copyright;
            let foot = PageWords { text: copyright, style, before: 0.0, said };
            page.add(&self.page_of_words(&[foot], 1.0), Vec2::ZERO);
        }
        page
    }

    /// A page of centred words from a share of its height on; where they are too long for it they
    /// begin higher, and then are set smaller.
    pub(super) fn page_of_words(&self, words: &[PageWords<'_>], at: f64) -> Piece {
        let room = self.sheet.room();
        let of_scale = |scale: f64| {
            let mut page = self.bare_page();
            let mut y = 0.0;
            for PageWords { text, style, before, said } in words {
                let style = WordStyle { size: style.size * scale, ..*style };
                y = self.add_centred(&mut page, (*text, said.clone()), style, y + before * scale);
            }
            (page, y)
        };
        let (page, height) = as_large_as_fits(of_scale, |(_, height)| *height <= room);
        let top = (room * at).min(room - height).max(0.0);
        let mut placed = self.bare_page();
        placed.add(&page, Vec2::new(0.0, top));
        placed
    }

    /// The words of a part on a page of their own.
    pub fn part_page(&self, text: &[Inline]) -> Piece {
        let sheet = self.sheet;
        let words = prose::words(text);
        let size = sheet.heading(0).size * LARGER;
        let style = WordStyle { kind: Kind::Heading, face: FaceStyle::Semibold, size };
        let said = Prose::Heading { level: 0, item: 0 };
        let mut page =
            self.page_of_words(&[PageWords { text: &words, style, before: 0.0, said }], PART_AT);
        page.headings = vec![OutlineHeading { level: 0, words: words.into(), nth: Some(0) }];
        page
    }

    /// A piece as tall as a page, without a head and a foot.
    pub(super) fn bare_page(&self) -> Piece {
        let height = self.sheet.room();
        Piece { height, begins: true, bare: true, ..Piece::default() }
    }

    /// Adds centred lines to a piece from a height on; where they end.
    fn add_centred(
        &self,
        page: &mut Piece,
        (text, said): (&str, Prose),
        style: WordStyle,
        mut y: f64,
    ) -> f64 {
        for (marks, x) in self.centred_lines(text, style) {
            let mut row = self.row(marks, x, style.size, 0.0);
            row.nodes = [group(said.clone(), row.nodes.to_vec())].into();
            page.add(&row, Vec2::new(0.0, y));
            y += style.size * self.sheet.leading;
        }
        y
    }

    /// Lines of words, each with the left end that centres it.
    fn centred_lines(&self, text: &str, style: WordStyle) -> Vec<(Vec<Mark>, f64)> {
        let width = self.sheet.text_width();
        let plain = [Inline::Text(text.to_owned())];
        let lines = prose::lines(self.fonts, &plain, style, width).into_iter();
        let left = |marks: Vec<Mark>| {
            let x = (width - row_width(&marks)) / 2.0;
            (marks, x)
        };
        lines.map(left).collect()
    }
}
