//! The one place for the numbers of a page: margins, type sizes, gaps. From here on lengths are
//! points.

use crate::engrave::Style;
use crate::score::settings::Header;

/// Points in a millimetre.
pub const PT_PER_MM: f64 = 72.0 / 25.4;

/// Margins of a page of a width, in millimetres; those of narrower paper are smaller in proportion.
/// On a bound page the inner one is narrower than the outer one, so that facing pages belong together
/// (Tschichold, *The Form of the Book*, from memory; all that follows: common practice, no source).
const WIDTH_MM: f64 = 210.0;
const SIDE_MM: f64 = 20.0;
const INNER_MM: f64 = 18.0;
const OUTER_MM: f64 = 24.0;
const TOP_MM: f64 = 20.0;
const BOTTOM_MM: f64 = 25.0;
/// The most of the paper's height that is margin over the text, and under it; and of its width that is
/// binding.
const MOST_MARGIN: (f64, f64) = (0.1, 0.13);
const MOST_BINDING: f64 = 0.2;
/// Between which sizes prose stays on a staff that is not its style's, in points.
const PROSE: (f64, f64) = (9.0, 20.0);
/// The longest line of prose, in ems: sixty to seventy letters (Bringhurst, *The Elements of Typographic
/// Style*, from memory).
const MEASURE: f64 = 31.0;
/// Between columns of music, in points.
const GUTTER: f64 = 20.0;
/// Gaps, in lines of prose: between things of one kind one, to what explains them less, over what is new two or three
/// (Tschichold, from memory). Words under music stand further from its counting than lines of words from one another,
/// or they would look like one row more.
const BEFORE_BLOCK: f64 = 1.0;
const AFTER_BLOCK: f64 = 0.75;
const AFTER_TITLE: f64 = 0.35;
const BETWEEN_SYSTEMS: f64 = 0.8;
/// Over and under headings of parts, chapters and sections.
const HEADING_GAPS: [(f64, f64); 3] = [(2.5, 0.9), (2.0, 0.7), (1.5, 0.4)];
const BETWEEN_PARAGRAPHS: f64 = 0.4;

/// The measures of a heading, in points.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct HeadingMeasures {
    /// Its size.
    pub size: f64,
    /// Over it.
    pub before: f64,
    /// Under it.
    pub after: f64,
}

/// A page's measures, in points.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sheet {
    /// Width of the paper.
    pub width: f64,
    /// Height of the paper.
    pub height: f64,
    /// The left margin of odd pages and the right one of even ones: at the back of a bound book.
    pub inner: f64,
    /// The other one.
    pub outer: f64,
    /// Top margin.
    pub top: f64,
    /// Bottom margin, which holds the foot.
    pub bottom: f64,
    /// Points in a staff space.
    pub space: f64,
    /// Size of the title.
    pub title: f64,
    /// Size of the line under the title.
    pub subtitle: f64,
    /// The headings of parts, chapters and sections.
    headings: [HeadingMeasures; 3],
    /// Size of a block's title.
    pub block_title: f64,
    /// Size of prose.
    pub prose: f64,
    /// Distance of baselines in prose, as a multiple of its size.
    pub leading: f64,
    /// The longest line of prose.
    pub measure: f64,
    /// Size of the foot.
    pub foot: f64,
    /// Over a block.
    pub before_block: f64,
    /// Between a block and the prose under it.
    pub after_block: f64,
    /// Between a block's title and its first line.
    pub after_title: f64,
    /// Between the lines of a block.
    pub between_systems: f64,
    /// Between paragraphs.
    pub between_paragraphs: f64,
}

impl Sheet {
    /// The sheet of a file's header in a style.
    pub fn new(header: &Header, style: &Style) -> Self {
        let mm = PT_PER_MM;
        let staff = header.staff_height.unwrap_or(style.staff_mm);
        let width = header.paper.width * mm;
        let height = header.paper.height * mm;
        let margin = |at_full_width: f64| at_full_width * mm * (width / (WIDTH_MM * mm)).min(1.0);
        let binding = (header.binding.unwrap_or(0.0) * mm).min(width * MOST_BINDING);
        let (inner, outer) = match binding > 0.0 {
            true => (margin(INNER_MM) + binding, margin(OUTER_MM)),
            false => (margin(SIDE_MM), margin(SIDE_MM)),
        };
        let (least, most) = (PROSE.0.min(style.prose_pt), PROSE.1.max(style.prose_pt));
        let prose = (style.prose_pt * (staff / style.staff_mm).sqrt()).clamp(least, most);
        let size = |points: f64| points * prose / style.prose_pt;
        let line = prose * style.leading;
        let heading = |points: f64, (before, after): (f64, f64)| HeadingMeasures {
            size: size(points),
            before: before * line,
            after: after * line,
        };
        Self {
            width,
            height,
            inner,
            outer,
            top: margin(TOP_MM).min(height * MOST_MARGIN.0),
            bottom: margin(BOTTOM_MM).min(height * MOST_MARGIN.1),
            space: staff / 4.0 * mm,
            title: size(style.title_pt),
            subtitle: size(style.subtitle_pt),
            headings: [
                heading(style.part_pt, HEADING_GAPS[0]),
                heading(style.chapter_pt, HEADING_GAPS[1]),
                heading(style.section_pt, HEADING_GAPS[2]),
            ],
            block_title: size(style.block_title_pt),
            prose,
            leading: style.leading,
            measure: prose * MEASURE,
            foot: size(style.foot_pt),
            before_block: BEFORE_BLOCK * line,
            after_block: AFTER_BLOCK * line,
            after_title: AFTER_TITLE * line,
            between_systems: BETWEEN_SYSTEMS * line,
            between_paragraphs: BETWEEN_PARAGRAPHS * line,
        }
    }

    /// The measures of a heading of a level: 0 a part, 1 a chapter, 2 and more a section.
    pub fn heading(&self, level: u8) -> HeadingMeasures {
        let [part, chapter, section] = self.headings;
        match level {
            0 => part,
            1 => chapter,
            _ => section,
        }
    }

    /// From margin to margin.
    pub fn text_width(&self) -> f64 {
        (self.width - self.inner - self.outer).max(1.0)
    }

    /// The width of one of some columns, and how far the next begins to its right.
    pub fn column(&self, columns: usize) -> (f64, f64) {
        let columns = columns.max(1) as f64;
        let width = ((self.text_width() - GUTTER * (columns - 1.0)) / columns).max(1.0);
        (width, width + GUTTER)
    }

    /// The left margin of a page, numbered from 1.
    pub fn left(&self, page: usize) -> f64 {
        if page % 2 == 1 { self.inner } else { self.outer }
    }

    /// Whether left and right pages differ.
    pub fn mirrored(&self) -> bool {
        self.inner != self.outer
    }

    /// The height of body text on a page.
    pub fn room(&self) -> f64 {
        self.floor() - self.top
    }

    /// y of the lowest point body text may reach.
    pub fn floor(&self) -> f64 {
        self.height - self.bottom
    }
}
