//! Section letters in their frames.

use super::inscription::Inscription;
use crate::drawing::{Kind, Mark, Shape};
use crate::engrave::draw::outline;
use crate::engrave::engraver::Engraver;
use crate::font::FaceStyle;
use crate::score::block_layout::SectionSign;
use kurbo::{BezPath, Point, Rect};

/// From a section letter to its frame (no source).
pub const SECTION_PAD: f64 = 0.45;
/// Size of section letters against tempo words (no source).
const SECTION_SIZE: f64 = 1.15;

/// A letter, in a frame or plain.
pub fn section(engraver: &Engraver<'_>, letter: &str, sign: SectionSign) -> Inscription {
    let points = engraver.points(engraver.style.tempo) * SECTION_SIZE;
    let (run, width) = engraver.words(letter, FaceStyle::Semibold, points);
    if sign == SectionSign::Plain {
        let letter = engraver.text(Kind::Section, run, 0.0, 0.0, points);
        return Inscription { marks: vec![letter], width };
    }
    let height = engraver.fonts.text.cap_height(FaceStyle::Semibold) * engraver.pt(points);
    let side = (height + 2.0 * SECTION_PAD).max(width + 2.0 * SECTION_PAD);
    let rect = Rect::new(0.0, -height - SECTION_PAD, side, SECTION_PAD);
    let thickness = engraver.fonts.music.defaults().text_enclosure_thickness;
    let frame = frame(rect, thickness).into_iter();
    let mut marks: Vec<Mark> =
        frame.map(|path| Mark::new(Kind::Section, Shape::Path(path))).collect();
    marks.push(engraver.text(Kind::Section, run, (side - width) / 2.0, 0.0, points));
    Inscription { marks, width: side }
}

/// A box around words, as an outline of four strokes.
fn frame(rect: Rect, thickness: f64) -> Vec<BezPath> {
    let corners = [
        Point::new(rect.x0, rect.y0),
        Point::new(rect.x1, rect.y0),
        Point::new(rect.x1, rect.y1),
        Point::new(rect.x0, rect.y1),
    ];
    let half = thickness / 2.0;
    let grow = |from: Point, to: Point| {
        let along = (to - from).normalize() * half;
        outline::stroke(from - along, to + along, thickness)
    };
    (0..4).map(|i| grow(corners[i], corners[(i + 1) % 4])).collect()
}
