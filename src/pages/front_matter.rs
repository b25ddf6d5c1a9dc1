//! The imprint on the back of a title page, and the dedication after it.

use super::front::PageWords;
use super::passage::group;
use super::piece::{Opens, Piece};
use super::prose;
use super::prose::WordStyle;
use super::setter::{Setter, as_large_as_fits};
use crate::drawing::{Kind, Prose};
use crate::font::FaceStyle;
use crate::score::{Header, Inline};
use kurbo::Vec2;

/// Where a dedication stands on its page, as a share of the page's height (common practice, no source).
const DEDICATION_AT: f64 = 0.3;
/// Room between the lines of an imprint, as a share of their size (common practice, no source).
const BETWEEN_LINES: f64 = 0.6;

impl Setter<'_> {
    /// The imprint at the foot of the back of the title page, and the dedication on the next right-hand page
    /// (*The Chicago Manual of Style*, "Front matter", from memory).
    pub fn after_title(&self, header: &Header) -> Vec<Piece> {
        let mut pieces = Vec::new();
        let imprint = header.front.imprint(header.copyright.as_deref());
        if !imprint.is_empty() {
            pieces.push(Piece { opens: Opens::LeftPage, ..self.imprint_page(&imprint) });
        }
        if let Some(text) = &header.front.dedication {
            let size = self.sheet.subtitle;
            let style = WordStyle { kind: Kind::Subtitle, face: FaceStyle::Italic, size };
            let words = PageWords { text, style, before: 0.0, said: Prose::Dedication };
            let page = self.page_of_words(&[words], DEDICATION_AT);
            pieces.push(Piece { opens: Opens::RightPage, ..page });
        }
        pieces
    }

    fn imprint_page(&self, lines: &[String]) -> Piece {
        let room = self.sheet.room();
        let of_scale = |scale: f64| self.imprint(lines, self.sheet.foot * scale);
        let (page, height) = as_large_as_fits(of_scale, |(_, height)| *height <= room);
        let mut placed = self.bare_page();
        placed.add(&page, Vec2::new(0.0, (room - height).max(0.0)));
        placed
    }

    /// The lines of an imprint under each other, and how high they are.
    fn imprint(&self, lines: &[String], size: f64) -> (Piece, f64) {
        let mut page = self.bare_page();
        let style = WordStyle { kind: Kind::Foot, face: FaceStyle::Regular, size };
        let (mut y, mut height) = (0.0, 0.0);
        for (line, text) in lines.iter().enumerate() {
            let plain = [Inline::Text(text.clone())];
            for marks in prose::lines(self.fonts, &plain, style, self.sheet.text_width()) {
                let mut row = self.row(marks, 0.0, size, 0.0);
                row.nodes = [group(Prose::Imprint { line }, row.nodes.to_vec())].into();
                page.add(&row, Vec2::new(0.0, y));
                height = y + row.height;
                y += size * self.sheet.leading;
            }
            y += size * BETWEEN_LINES;
        }
        (page, height)
    }
}
