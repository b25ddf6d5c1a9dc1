//! Pages as what is beside them leads there, and places on a page as PDF counts them: from the lower left corner.

use crate::write::number::round;
use kurbo::{Rect, Size};
use lopdf::{Object, ObjectId};
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

/// A link's aim: a height of a page.
pub(super) fn destination(page: Size, id: ObjectId, y: f64) -> Object {
    let top = round(page.height - y) as f32;
    vec![id.into(), "XYZ".into(), Object::Null, top.into(), Object::Null].into()
}

/// The corners of a rectangle of a page.
pub(super) fn corners(page: Size, area: Rect) -> Vec<Object> {
    let corners = [area.x0, page.height - area.y1, area.x1, page.height - area.y0];
    corners.map(|x| Object::from(round(x) as f32)).to_vec()
}
