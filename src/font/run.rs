//! Words turned into glyphs.

use super::face_style::{FaceId, FaceStyle};
use super::run_glyphs::{GlyphRow, RunGlyphs, ShapedGlyph};
use super::shaped::Shaped;
use smallvec::SmallVec;
use std::ops::Range;
use std::sync::Arc;

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

impl Shaped for Arc<GlyphRun> {
    fn words(&self) -> &str {
        &self.text
    }

    fn glyphs(&self) -> usize {
        self.glyphs.count()
    }
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

    /// The face of each glyph and its number in it, left to right.
    pub fn glyph_ids(&self) -> impl Iterator<Item = (FaceId, u16)> {
        self.glyphs.ids()
    }

    /// Each glyph with the words it stands for, in glyph order. Where several glyphs share the
    /// words of one cluster, the first of them has the words and the others have none.
    pub fn glyph_words(&self) -> impl Iterator<Item = (ShapedGlyph, &str)> {
        let mut starts: SmallVec<[usize; 8]> =
            self.glyphs().map(|glyph| glyph.cluster as usize).collect();
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
