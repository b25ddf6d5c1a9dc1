//! The one place for the numbers of a page: margins, type sizes, gaps. From here on lengths are
//! points.

use crate::engrave::Style;
use crate::score::settings::Header;

/// Points in a millimetre.
pub const PT_PER_MM: f64 = 72.0 / 25.4;

/// Margins in millimetres, and the most they take of a small page (this and all that follows: common
/// practice, no source).
const SIDE_MM: f64 = 16.0;
const TOP_MM: f64 = 15.0;
const BOTTOM_MM: f64 = 18.0;
const MOST_MARGIN: f64 = 0.1;
const MOST_BINDING: f64 = 0.2;
/// Sizes of words, in points.
const TITLE: f64 = 22.0;
const SUBTITLE: f64 = 12.0;
const HEADINGS: [f64; 2] = [15.0, 12.5];
const BLOCK_TITLE: f64 = 11.5;
const PROSE: f64 = 10.5;
const FOOT: f64 = 8.0;
/// Distance of baselines in prose, as a multiple of its size.
const LEADING: f64 = 1.3;
/// The longest line of prose, in millimetres.
const MEASURE_MM: f64 = 150.0;
/// Gaps, in points.
const BEFORE_BLOCK: f64 = 15.0;
const AFTER_BLOCK: f64 = 10.0;
const AFTER_TITLE: f64 = 5.0;
const BETWEEN_SYSTEMS: f64 = 12.0;
const BEFORE_HEADING: f64 = 18.0;
const BETWEEN_PARAGRAPHS: f64 = 6.0;

/// A page's measures, in points.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sheet {
    /// Width of the paper.
    pub width: f64,
    /// Height of the paper.
    pub height: f64,
    /// Left and right margins, without the binding.
    pub side: f64,
    /// What the margin at the back of a bound book is wider by: on the left of odd pages, on the
    /// right of even ones.
    pub binding: f64,
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
    /// Size of `#` and `##` headings.
    pub headings: [f64; 2],
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
    /// Over a heading.
    pub before_heading: f64,
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
        let side = (SIDE_MM * mm).min(width * MOST_MARGIN);
        Self {
            width,
            height,
            side,
            binding: (header.binding.unwrap_or(0.0) * mm).min(width * MOST_BINDING),
            top: (TOP_MM * mm).min(height * MOST_MARGIN),
            bottom: (BOTTOM_MM * mm).min(height * MOST_MARGIN),
            space: staff / 4.0 * mm,
            title: TITLE,
            subtitle: SUBTITLE,
            headings: HEADINGS,
            block_title: BLOCK_TITLE,
            prose: PROSE,
            leading: LEADING,
            measure: MEASURE_MM * mm,
            foot: FOOT,
            before_block: BEFORE_BLOCK,
            after_block: AFTER_BLOCK,
            after_title: AFTER_TITLE,
            between_systems: BETWEEN_SYSTEMS,
            before_heading: BEFORE_HEADING,
            between_paragraphs: BETWEEN_PARAGRAPHS,
        }
    }

    /// From margin to margin.
    pub fn text_width(&self) -> f64 {
        (self.width - 2.0 * self.side - self.binding).max(1.0)
    }

    /// The left margin of a page, numbered from 1.
    pub fn left(&self, page: usize) -> f64 {
        self.side + if page % 2 == 1 { self.binding } else { 0.0 }
    }

    /// Whether left and right pages differ.
    pub fn mirrored(&self) -> bool {
        self.binding > 0.0
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
