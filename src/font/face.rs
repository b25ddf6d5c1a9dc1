//! One face of words: its letters, its heights, and shaping with it.

use super::characters::is_invisible;
use super::composite;
use super::error::FontError;
use super::face_style::FaceId;
use super::outline::outline;
use super::readings::Readings;
use super::run_glyphs::{GlyphRow, RowGlyph, RunGlyphs, ShapedGlyph};
use kurbo::{Affine, BezPath, Rect, Shape};
use rustybuzz::{Direction, GlyphBuffer, ShapePlan, UnicodeBuffer, script};
use std::cell::Cell;
use std::sync::OnceLock;
use ttf_parser::GlyphId;

thread_local! {
    /// What a thread shapes in, with room for what it shaped before.
    static BUFFER: Cell<Option<UnicodeBuffer>> = const { Cell::new(None) };
}

/// For how many glyphs room is kept: more than nearly all paragraphs have, in a quarter of a megabyte.
const KEPT: usize = 4096;

/// A face of words.
pub(super) struct TextFace {
    face: ttf_parser::Face<'static>,
    /// The same, ready to shape with.
    shaper: OnceLock<rustybuzz::Face<'static>>,
    /// The font file.
    pub(super) data: &'static [u8],
    unit: f64,
    /// The ASCII characters it has, a bit each.
    ascii: OnceLock<u128>,
    /// Choosing a face's features costs more than shaping a syllable with them.
    latin: OnceLock<ShapePlan>,
    /// By the glyph's number, each drawn when it is first asked for.
    letters: OnceLock<Vec<OnceLock<Box<LetterForm>>>>,
    /// What its glyphs read as, where nobody made it ahead.
    readings: OnceLock<Readings>,
    read_ahead: Option<&'static Readings>,
}

/// A glyph's form, in ems, y down.
pub(super) struct LetterForm {
    /// Its outline, nonzero winding.
    pub(super) outline: BezPath,
    /// The box of its ink; nothing where there is none.
    pub(super) ink: Option<Rect>,
}

impl TextFace {
    /// A face of a font file; `name` is what messages call it. What its glyphs read as may be known.
    pub(super) fn parse(
        name: &str,
        data: &'static [u8],
        read_ahead: Option<&'static Readings>,
    ) -> Result<Self, FontError> {
        let face = ttf_parser::Face::parse(data, 0)
            .map_err(|_| FontError(format!("{name} cannot be read as a font")))?;
        let unit = 1.0 / f64::from(face.units_per_em().max(1));
        let (shaper, ascii) = (OnceLock::new(), OnceLock::new());
        let (latin, letters, readings) = (OnceLock::new(), OnceLock::new(), OnceLock::new());
        Ok(Self { face, shaper, data, unit, ascii, latin, letters, readings, read_ahead })
    }

    /// Refuses a font file that would take too long to draw with.
    pub(super) fn check(name: &str, data: &[u8]) -> Result<(), FontError> {
        match ttf_parser::Face::parse(data, 0) {
            Ok(face) => composite::check(name, &face),
            Err(_) => Err(FontError(format!("{name} cannot be read as a font"))),
        }
    }

    /// Whether a character prints from this face, or has nothing to print.
    pub(super) fn has(&self, c: char) -> bool {
        if c.is_ascii() {
            let bit = |c: u8| u128::from(self.looks_up(c.into())) << c;
            let known = self.ascii.get_or_init(|| (0..128).map(bit).sum());
            return (known >> u32::from(c)) & 1 == 1;
        }
        self.looks_up(c)
    }

    fn looks_up(&self, c: char) -> bool {
        c.is_control() || is_invisible(c) || self.face.glyph_index(c).is_some()
    }

    /// The form of a glyph.
    pub(super) fn letter(&self, id: u16) -> Option<&LetterForm> {
        let empty = || {
            let count = usize::from(self.face.number_of_glyphs());
            std::iter::repeat_with(OnceLock::new).take(count).collect()
        };
        let letter = self.letters.get_or_init(empty).get(usize::from(id))?;
        Some(letter.get_or_init(|| {
            let outline = Affine::scale(self.unit) * outline(&self.face, GlyphId(id));
            let ink = (!outline.is_empty()).then(|| outline.bounding_box());
            Box::new(LetterForm { outline, ink })
        }))
    }

    /// What its glyphs read as.
    pub(super) fn readings(&self) -> &Readings {
        self.read_ahead.unwrap_or_else(|| self.readings.get_or_init(|| Readings::of(&self.face)))
    }

    /// The advance of a glyph without kerning, in whole thousandths of the em, rounded down.
    pub(super) fn thousandths(&self, id: u16) -> i64 {
        thousandths(&self.face, id)
    }

    /// Height of the capitals above the baseline, in ems.
    pub(super) fn cap_height(&self) -> f64 {
        self.height('H', self.face.capital_height())
    }

    /// Height of the small letters above the baseline, in ems.
    pub(super) fn x_height(&self) -> f64 {
        self.height('x', self.face.x_height())
    }

    /// The height of a flat-topped letter. Faces state heights too, but some state the round
    /// letters' or none.
    fn height(&self, letter: char, stated: Option<i16>) -> f64 {
        let measured = self.face.glyph_index(letter).and_then(|id| self.letter(id.0)?.ink);
        measured.map(|ink| -ink.y0).or(stated.map(|h| f64::from(h) * self.unit)).unwrap_or_default()
    }

    /// Its own full name.
    pub(super) fn name(&self) -> String {
        let names = self.face.names().into_iter();
        let mut full = names.filter(|name| name.name_id == ttf_parser::name_id::FULL_NAME);
        full.find_map(|name| name.to_string()).unwrap_or_else(|| "a face without a name".into())
    }

    /// A text as glyphs of this face, which is known as `face`, and its width; in ems.
    pub(super) fn shape(&self, text: &str, face: FaceId) -> (RunGlyphs, f64) {
        let shaper = self.shaper.get_or_init(|| rustybuzz::Face::from_face(self.face.clone()));
        let mut buffer = BUFFER.take().unwrap_or_default();
        buffer.push_str(text);
        buffer.guess_segment_properties();
        // Numbers, signs and spaces alone have no script of their own; they are set as Latin.
        let common = [script::LATIN, script::COMMON, script::INHERITED, script::UNKNOWN];
        let shaped =
            if buffer.direction() == Direction::RightToLeft || !common.contains(&buffer.script()) {
                rustybuzz::shape(shaper, &[], buffer)
            } else {
                buffer.set_direction(Direction::LeftToRight);
                buffer.set_script(script::LATIN);
                let plan = self.latin.get_or_init(|| {
                    ShapePlan::new(shaper, Direction::LeftToRight, Some(script::LATIN), None, &[])
                });
                rustybuzz::shape_with_plan(shaper, plan, buffer)
            };
        let width = shaped
            .glyph_positions()
            .iter()
            .fold(0.0, |width, position| width + f64::from(position.x_advance) * self.unit);
        let glyphs = match self.row(&shaped, face) {
            Some(row) => RunGlyphs::Row(row),
            None => RunGlyphs::Placed(self.placed(&shaped, face)),
        };
        if glyphs.count() <= KEPT {
            BUFFER.set(Some(shaped.clear()));
        }
        (glyphs, width)
    }

    /// Glyphs of which none stands elsewhere than after the one before it.
    fn row(&self, shaped: &GlyphBuffer, face: FaceId) -> Option<GlyphRow> {
        let mut glyphs = Vec::with_capacity(shaped.len());
        for (info, position) in shaped.glyph_infos().iter().zip(shaped.glyph_positions()) {
            let moved = (position.x_offset, position.y_offset) != (0, 0);
            let tied = info.unsafe_to_break();
            let glyph = RowGlyph::new(info.glyph_id, position.x_advance, info.cluster, tied);
            glyphs.push(glyph.filter(|_| !moved)?);
        }
        Some(GlyphRow { face, unit: self.unit, glyphs })
    }

    fn placed(&self, shaped: &GlyphBuffer, face: FaceId) -> Vec<ShapedGlyph> {
        let glyphs = shaped.glyph_infos().iter().zip(shaped.glyph_positions());
        let mut x = 0.0;
        let placed = glyphs.map(|(info, position)| {
            let advance = f64::from(position.x_advance) * self.unit;
            let glyph = ShapedGlyph {
                face,
                id: u16::try_from(info.glyph_id).unwrap_or_default(),
                x: x + f64::from(position.x_offset) * self.unit,
                y: (-f64::from(position.y_offset) * self.unit) as f32,
                advance,
                cluster: info.cluster,
            };
            x += advance;
            glyph
        });
        placed.collect()
    }
}

/// The advance of a glyph in whole thousandths of the em, rounded down.
pub(super) fn thousandths(face: &ttf_parser::Face<'_>, id: u16) -> i64 {
    let advance = i64::from(face.glyph_hor_advance(GlyphId(id)).unwrap_or_default());
    advance * 1000 / i64::from(face.units_per_em().max(1))
}
