//! Lines around a page that show where to cut.

use super::options::CROP_MARK;
use super::stream::PageStream;
use crate::drawing::Page;
use kurbo::Rect;

/// Thickness of a crop mark, in points: a hairline, common practice, no source.
const CROP_WEIGHT: f64 = 0.25;

/// Two lines at each corner, on the edges of the trimmed page and outside of it.
pub(super) fn draw(stream: &mut PageStream, page: &Page, gap: f64) {
    let half = CROP_WEIGHT / 2.0;
    let mut line = |x0: f64, y0: f64, x1: f64, y1: f64| stream.rectangle(Rect { x0, y0, x1, y1 });
    for x in [0.0, page.width] {
        line(x - half, -gap - CROP_MARK, x + half, -gap);
        line(x - half, page.height + gap, x + half, page.height + gap + CROP_MARK);
    }
    for y in [0.0, page.height] {
        line(-gap - CROP_MARK, y - half, -gap, y + half);
        line(page.width + gap, y - half, page.width + gap + CROP_MARK, y + half);
    }
}
