//! Words of the sheet, drawn as outlines: whoever opens it needs no other font.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use kurbo::{Affine, BezPath};
use rustybuzz::ttf_parser::{GlyphId, OutlineBuilder, name_id};
use rustybuzz::{Face, UnicodeBuffer};

use crate::error::Error;

/// The face the program sets words in.
const FACE: &str = "LibertinusSerif-Regular";

/// A line of words: the number of each glyph and how far it stands from the left end, and the width
/// of all, in units of the face.
pub(super) struct Line {
    pub(super) letters: Vec<(u16, i32)>,
    pub(super) width: i32,
}

/// The face, and the letters set in it so far.
pub(super) struct Words {
    face: Face<'static>,
    used: BTreeMap<u16, BezPath>,
}

impl Words {
    /// # Errors
    /// The asset crate has no such face.
    pub(super) fn new() -> Result<Self, Error> {
        let mut faces = typst_assets::fonts().filter_map(|data| Face::from_slice(data, 0));
        let face = faces.find(|face| {
            let mut names = face.names().into_iter();
            names.any(|n| {
                n.name_id == name_id::POST_SCRIPT_NAME && n.to_string().as_deref() == Some(FACE)
            })
        });
        let missing = || Error::Table(format!("the asset crate has no face named {FACE}"));
        Ok(Self { face: face.ok_or_else(missing)?, used: BTreeMap::new() })
    }

    /// Units in one em.
    pub(super) fn units(&self) -> f64 {
        f64::from(self.face.units_per_em())
    }

    /// Shapes words, with the face's kerning, and keeps the letters they need.
    pub(super) fn set(&mut self, words: &str) -> Line {
        let mut buffer = UnicodeBuffer::new();
        buffer.push_str(words);
        buffer.guess_segment_properties();
        let shaped = rustybuzz::shape(&self.face, &[], buffer);
        let mut line = Line { letters: Vec::new(), width: 0 };
        for (info, at) in shaped.glyph_infos().iter().zip(shaped.glyph_positions()) {
            // Glyph numbers of OpenType are of 16 bits.
            let id = u16::try_from(info.glyph_id).unwrap_or(0);
            let face = &self.face;
            self.used.entry(id).or_insert_with(|| outline(face, id));
            line.letters.push((id, line.width + at.x_offset));
            line.width += at.x_advance;
        }
        line
    }

    /// The letters, to be referred to as `#letterN`.
    pub(super) fn definitions(&self) -> String {
        let mut out = String::new();
        for (id, drawn) in &self.used {
            let _ = writeln!(out, "<path id=\"letter{id}\" d=\"{}\"/>", drawn.to_svg());
        }
        out
    }
}

/// A letter, y down.
fn outline(face: &Face<'_>, id: u16) -> BezPath {
    let mut pen = Pen(BezPath::new());
    let _ = face.outline_glyph(GlyphId(id), &mut pen);
    Affine::FLIP_Y * pen.0
}

struct Pen(BezPath);

impl OutlineBuilder for Pen {
    fn move_to(&mut self, x: f32, y: f32) {
        self.0.move_to((f64::from(x), f64::from(y)));
    }
    fn line_to(&mut self, x: f32, y: f32) {
        self.0.line_to((f64::from(x), f64::from(y)));
    }
    fn quad_to(&mut self, cx: f32, cy: f32, x: f32, y: f32) {
        self.0.quad_to((f64::from(cx), f64::from(cy)), (f64::from(x), f64::from(y)));
    }
    fn curve_to(&mut self, ax: f32, ay: f32, bx: f32, by: f32, x: f32, y: f32) {
        let point = |x: f32, y: f32| (f64::from(x), f64::from(y));
        self.0.curve_to(point(ax, ay), point(bx, by), point(x, y));
    }
    fn close(&mut self) {
        self.0.close_path();
    }
}
