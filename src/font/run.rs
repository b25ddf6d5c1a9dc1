//! Words turned into glyphs, and the faces they are set in.

use super::glyphs::{GlyphRow, RunGlyphs, ShapedGlyph};
use std::ops::Range;

/// A face of the text family.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum FaceStyle {
    /// Upright.
    #[default]
    Regular,
    /// Upright, and heavier.
    Semibold,
    /// Italic.
    Italic,
    /// Italic, and heavier.
    SemiboldItalic,
    /// Letters of one width, for code.
    Mono,
}

impl FaceStyle {
    /// Every face.
    pub const ALL: [Self; 5] =
        [Self::Regular, Self::Semibold, Self::Italic, Self::SemiboldItalic, Self::Mono];

    /// The same, heavier; code has one weight.
    #[must_use]
    pub fn heavier(self) -> Self {
        match self {
            Self::Regular | Self::Semibold => Self::Semibold,
            Self::Italic | Self::SemiboldItalic => Self::SemiboldItalic,
            Self::Mono => Self::Mono,
        }
    }

    /// The same, italic; code is upright.
    #[must_use]
    pub fn slanted(self) -> Self {
        match self {
            Self::Regular | Self::Italic => Self::Italic,
            Self::Semibold | Self::SemiboldItalic => Self::SemiboldItalic,
            Self::Mono => Self::Mono,
        }
    }

    /// Its name in JSON and in style sheets.
    pub fn name(self) -> &'static str {
        match self {
            Self::Regular => "regular",
            Self::Semibold => "semibold",
            Self::Italic => "italic",
            Self::SemiboldItalic => "semibold-italic",
            Self::Mono => "mono",
        }
    }
}

/// A face among all that words are set in: by its place in the list of them.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct FaceId(pub u8);

/// Words turned into glyphs. Lengths are in ems: multiply by the size.
#[derive(Clone, Debug, PartialEq)]
pub struct GlyphRun {
    /// The words.
    pub text: String,
    /// The style asked for.
    pub style: FaceStyle,
    pub(super) glyphs: RunGlyphs,
    /// How far the next run's origin lies to the right.
    pub width: f64,
}

impl GlyphRun {
    /// A part of its words as a run of its own; nothing where what stands beside them might shape them.
    pub fn part(&self, words: &Range<usize>) -> Option<Self> {
        let row = self.row()?.part(words, self.text.len())?;
        let text = self.text.get(words.clone())?.to_owned();
        let width = row.width();
        Some(Self { text, style: self.style, glyphs: RunGlyphs::Row(row), width })
    }

    /// How wide a part of its words is, as [`GlyphRun::part`] has it.
    pub fn width_of(&self, words: &Range<usize>) -> Option<f64> {
        self.row()?.width_of(words, self.text.len())
    }

    fn row(&self) -> Option<&GlyphRow> {
        match &self.glyphs {
            RunGlyphs::Row(row) => Some(row),
            RunGlyphs::Placed(_) => None,
        }
    }

    /// Its glyphs, left to right.
    pub fn glyphs(&self) -> impl Iterator<Item = ShapedGlyph> {
        self.glyphs.iter()
    }

    /// Each glyph with the words it stands for, in glyph order. Where several glyphs share the
    /// words of one cluster, the first of them has the words and the others have none.
    pub fn glyph_words(&self) -> impl Iterator<Item = (ShapedGlyph, &str)> {
        let mut starts: Vec<usize> = self.glyphs().map(|glyph| glyph.cluster as usize).collect();
        starts.sort_unstable();
        starts.dedup();
        starts.push(self.text.len());
        let mut before = None;
        self.glyphs().map(move |glyph| {
            let cluster = glyph.cluster as usize;
            let first = before.replace(cluster) != Some(cluster);
            let next = starts.partition_point(|start| *start <= cluster);
            let end = starts.get(next).copied().unwrap_or(self.text.len());
            let words = if first { self.text.get(cluster..end) } else { None };
            (glyph, words.unwrap_or(""))
        })
    }
}
