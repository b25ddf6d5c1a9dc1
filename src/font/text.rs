//! Faces of words, and their shaping.

use super::FontError;
use super::outline::outline;
use kurbo::{Affine, BezPath, Rect, Shape, Vec2};
use rustybuzz::{Direction, ShapePlan, UnicodeBuffer, script};
use std::collections::HashMap;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};
use ttf_parser::GlyphId;

/// A face of the text family.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum FaceStyle {
    /// Upright.
    #[default]
    Regular,
    /// Bold.
    Bold,
    /// Italic.
    Italic,
}

impl FaceStyle {
    /// Every face.
    pub const ALL: [Self; 3] = [Self::Regular, Self::Bold, Self::Italic];

    /// Its name in JSON and in style sheets.
    pub fn name(self) -> &'static str {
        match self {
            Self::Regular => "regular",
            Self::Bold => "bold",
            Self::Italic => "italic",
        }
    }
}

/// Words turned into glyphs of one face. Lengths are in ems: multiply by the size.
#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    /// The words.
    pub text: String,
    /// The face.
    pub style: FaceStyle,
    /// Its glyphs, left to right.
    pub glyphs: Vec<ShapedGlyph>,
    /// How far the next run's origin lies to the right.
    pub width: f64,
}

/// One glyph of a run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShapedGlyph {
    /// Its number in the face.
    pub id: u16,
    /// Its origin, x right from the run's origin.
    pub x: f64,
    /// Its origin, y down from the baseline.
    pub y: f64,
    /// Its own advance.
    pub advance: f64,
    /// The byte of the run's text its cluster begins at.
    pub cluster: usize,
}

impl Run {
    /// Each glyph with the words it stands for, in glyph order. Where several glyphs share the
    /// words of one cluster, the first of them has the words and the others have none.
    pub fn glyph_words(&self) -> impl Iterator<Item = (&ShapedGlyph, &str)> {
        let mut starts: Vec<usize> = self.glyphs.iter().map(|glyph| glyph.cluster).collect();
        starts.sort_unstable();
        starts.dedup();
        starts.push(self.text.len());
        let mut before = None;
        self.glyphs.iter().map(move |glyph| {
            let first = before.replace(glyph.cluster) != Some(glyph.cluster);
            let next = starts.partition_point(|start| *start <= glyph.cluster);
            let end = starts.get(next).copied().unwrap_or(self.text.len());
            let words = if first { self.text.get(glyph.cluster..end) } else { None };
            (glyph, words.unwrap_or(""))
        })
    }
}

/// The faces of words.
pub struct TextFonts {
    regular: TextFace,
    bold: TextFace,
    italic: TextFace,
    /// Counts and stickings are the same few syllables over and over.
    shaped: Mutex<Shaped>,
}

type Shaped = HashMap<(FaceStyle, Box<str>), Arc<Run>>;

struct TextFace {
    face: rustybuzz::Face<'static>,
    data: &'static [u8],
    unit: f64,
    /// Choosing a face's features costs more than shaping a syllable with them.
    latin: OnceLock<ShapePlan>,
    letters: Mutex<HashMap<u16, Arc<Letter>>>,
}

/// A glyph's form, in ems, y down.
struct Letter {
    outline: BezPath,
    /// Nothing where there is no ink.
    ink: Option<Rect>,
}

impl std::fmt::Debug for TextFonts {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("TextFonts").finish_non_exhaustive()
    }
}

impl TextFonts {
    /// The serif family that is part of the program.
    ///
    /// # Errors
    /// Says which face cannot be read.
    pub fn built_in() -> Result<Self, FontError> {
        Ok(Self {
            regular: TextFace::parse(
                "regular",
                include_bytes!(concat!(env!("OUT_DIR"), "/serif-regular.otf")),
            )?,
            bold: TextFace::parse(
                "bold",
                include_bytes!(concat!(env!("OUT_DIR"), "/serif-bold.otf")),
            )?,
            italic: TextFace::parse(
                "italic",
                include_bytes!(concat!(env!("OUT_DIR"), "/serif-italic.otf")),
            )?,
            shaped: Mutex::default(),
        })
    }

    fn face(&self, style: FaceStyle) -> &TextFace {
        match style {
            FaceStyle::Regular => &self.regular,
            FaceStyle::Bold => &self.bold,
            FaceStyle::Italic => &self.italic,
        }
    }

    /// The font file of a face.
    pub fn data(&self, style: FaceStyle) -> &[u8] {
        self.face(style).data
    }

    /// Shapes words: kerning, ligatures and accents.
    pub fn shape(&self, text: &str, style: FaceStyle) -> Arc<Run> {
        let key = (style, Box::from(text));
        let mut shaped = self.shaped.lock().unwrap_or_else(PoisonError::into_inner);
        shaped.entry(key).or_insert_with(|| Arc::new(self.face(style).shape(text, style))).clone()
    }

    /// Characters of `text` that no face has, each once, in order of appearance.
    pub fn missing(&self, text: &str) -> Vec<char> {
        let lacks = |c: char| FaceStyle::ALL.iter().all(|style| !self.face(*style).has(c));
        once_each(text, lacks)
    }

    /// Characters of `text` that one face lacks, each once, in order of appearance.
    pub fn missing_in(&self, text: &str, style: FaceStyle) -> Vec<char> {
        once_each(text, |c| !self.face(style).has(c))
    }

    /// The box of the run's ink around its origin, in ems, y down.
    pub fn bounds(&self, run: &Run) -> Rect {
        let face = self.face(run.style);
        let inks = run.glyphs.iter().filter_map(|glyph| {
            let ink = face.letter(glyph.id).ink?;
            Some(ink + Vec2::new(glyph.x, glyph.y))
        });
        inks.reduce(|all, ink| all.union(ink)).unwrap_or(Rect::ZERO)
    }

    /// The run's outline, in ems, y down, nonzero winding.
    pub fn outline(&self, run: &Run) -> BezPath {
        let face = self.face(run.style);
        let mut whole = BezPath::new();
        for glyph in &run.glyphs {
            let letter = face.letter(glyph.id);
            whole.extend(Affine::translate((glyph.x, glyph.y)) * &letter.outline);
        }
        whole
    }

    /// The outline of one glyph around its origin, in ems, y down, nonzero winding.
    pub fn glyph_outline(&self, style: FaceStyle, id: u16) -> BezPath {
        self.face(style).letter(id).outline.clone()
    }

    /// Whether a glyph leaves ink; a space does not.
    pub fn has_ink(&self, style: FaceStyle, id: u16) -> bool {
        self.face(style).letter(id).ink.is_some()
    }

    /// Height of the capitals above the baseline, in ems.
    pub fn cap_height(&self, style: FaceStyle) -> f64 {
        let face = self.face(style);
        face.height('H', face.face.capital_height())
    }

    /// Height of the small letters above the baseline, in ems.
    pub fn x_height(&self, style: FaceStyle) -> f64 {
        let face = self.face(style);
        face.height('x', face.face.x_height())
    }
}

impl TextFace {
    fn parse(name: &str, data: &'static [u8]) -> Result<Self, FontError> {
        let face = rustybuzz::Face::from_slice(data, 0)
            .ok_or_else(|| FontError(format!("the {name} text face cannot be read")))?;
        let unit = 1.0 / f64::from(face.units_per_em().max(1));
        Ok(Self { face, data, unit, latin: OnceLock::new(), letters: Mutex::default() })
    }

    fn has(&self, c: char) -> bool {
        c.is_control() || is_invisible(c) || self.face.glyph_index(c).is_some()
    }

    fn letter(&self, id: u16) -> Arc<Letter> {
        let mut letters = self.letters.lock().unwrap_or_else(PoisonError::into_inner);
        let draw = || {
            let outline = Affine::scale(self.unit) * outline(&self.face, GlyphId(id));
            let ink = (!outline.is_empty()).then(|| outline.bounding_box());
            Arc::new(Letter { outline, ink })
        };
        letters.entry(id).or_insert_with(draw).clone()
    }

    /// The height of a flat-topped letter. Faces state heights too, but some state the round
    /// letters' or none.
    fn height(&self, letter: char, stated: Option<i16>) -> f64 {
        let measured = self.face.glyph_index(letter).and_then(|id| self.letter(id.0).ink);
        measured.map(|ink| -ink.y0).or(stated.map(|h| f64::from(h) * self.unit)).unwrap_or_default()
    }

    fn shape(&self, text: &str, style: FaceStyle) -> Run {
        let mut buffer = UnicodeBuffer::new();
        buffer.push_str(text);
        buffer.guess_segment_properties();
        // Numbers, signs and spaces alone have no script of their own; they are set as Latin.
        let common = [script::LATIN, script::COMMON, script::INHERITED, script::UNKNOWN];
        let shaped = if buffer.direction() == Direction::RightToLeft
            || !common.contains(&buffer.script())
        {
            rustybuzz::shape(&self.face, &[], buffer)
        } else {
            buffer.set_direction(Direction::LeftToRight);
            buffer.set_script(script::LATIN);
            let plan = self.latin.get_or_init(|| {
                ShapePlan::new(&self.face, Direction::LeftToRight, Some(script::LATIN), None, &[])
            });
            rustybuzz::shape_with_plan(&self.face, plan, buffer)
        };
        let mut x = 0.0;
        let mut glyphs = Vec::with_capacity(shaped.len());
        for (info, position) in shaped.glyph_infos().iter().zip(shaped.glyph_positions()) {
            let advance = f64::from(position.x_advance) * self.unit;
            glyphs.push(ShapedGlyph {
                id: u16::try_from(info.glyph_id).unwrap_or_default(),
                x: x + f64::from(position.x_offset) * self.unit,
                y: -f64::from(position.y_offset) * self.unit,
                advance,
                cluster: info.cluster as usize,
            });
            x += advance;
        }
        Run { text: text.to_owned(), style, glyphs, width: x }
    }
}

/// Characters that steer shaping and line breaking and have no ink of their own.
fn is_invisible(c: char) -> bool {
    matches!(c, '\u{00AD}' | '\u{200B}'..='\u{200F}' | '\u{2028}'..='\u{202E}'
        | '\u{2060}'..='\u{2064}' | '\u{FE00}'..='\u{FE0F}' | '\u{FEFF}')
}

fn once_each(text: &str, lacks: impl Fn(char) -> bool) -> Vec<char> {
    let mut found = Vec::new();
    for c in text.chars() {
        if !found.contains(&c) && lacks(c) {
            found.push(c);
        }
    }
    found
}
