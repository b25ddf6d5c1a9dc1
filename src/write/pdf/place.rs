//! Pages as what is beside them leads there, and places on a page as PDF counts them: from the lower left corner.

use super::object::put_reference;
use super::operand::put_length;
use crate::write::number::round;
use kurbo::{Rect, Size};
use lopdf::ObjectId;
use printpdf::Pt;

/// A page as links and the outline lead to it.
#[derive(Clone, Copy, Debug)]
pub(super) struct SetPage {
    pub(super) id: ObjectId,
    pub(super) size: Size,
}

/// A length in points, to three decimals.
pub(super) fn points(length: f64) -> Pt {
    Pt(round(length) as f32)
}

/// Appends a link's aim: a height of a page (ISO 32000-1, 12.3.2.2).
pub(super) fn put_destination(out: &mut Vec<u8>, SetPage { id, size }: SetPage, y: f64) {
    out.push(b'[');
    put_reference(out, id);
    out.extend_from_slice(b"/XYZ null ");
    put_length(out, size.height - y);
    out.extend_from_slice(b" null]");
}

/// Appends the corners of a rectangle of a page.
pub(super) fn put_corners(out: &mut Vec<u8>, page: Size, area: Rect) {
    out.push(b'[');
    put_length(out, area.x0);
    for x in [page.height - area.y1, area.x1, page.height - area.y0] {
        out.push(b' ');
        put_length(out, x);
    }
    out.push(b']');
}
