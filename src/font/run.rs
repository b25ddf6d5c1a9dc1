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

    /// How many glyphs it has.
    pub fn count(&self) -> usize {
        self.glyphs.count()
    }

    /// Each glyph with the words it stands for, where each has its own and they run to the right, as most do.
    pub fn letters(&self) -> Option<impl Iterator<Item = (ShapedGlyph, &str)>> {
        let row = self.row().filter(|row| row.has_own_words())?;
        let ends = row.glyphs.iter().skip(1).map(|next| next.cluster() as usize);
        let ends = ends.chain([self.text.len()]);
        let words = |(glyph, end): (ShapedGlyph, usize)| {
            let words = self.text.get(glyph.cluster as usize..end);
            (glyph, words.unwrap_or(""))
        };
        Some(row.iter().zip(ends).map(words))
    }

    /// Each glyph with the words it stands for, in glyph order. Where several glyphs share the
    /// words of one cluster, the first of them has the words and the others have none.
    pub fn glyph_words(&self) -> impl Iterator<Item = (ShapedGlyph, &str)> {
        let mut starts: SmallVec<[u32; 32]> = self.glyphs.clusters().collect();
        starts.sort_unstable();
        let (mut before, mut next) = (None, 0);
        self.glyphs().map(move |glyph| {
            let cluster = glyph.cluster;
            let last = before.replace(cluster);
            // Of words that run to the right, the next cluster stands after this one.
            if last.is_some_and(|last| last > cluster) {
                next = starts.partition_point(|start| *start <= cluster);
            }
            while starts.get(next).is_some_and(|start| *start <= cluster) {
                next += 1;
            }
            let end = starts.get(next).map_or(self.text.len(), |start| *start as usize);
            let words =
                if last != Some(cluster) { self.text.get(cluster as usize..end) } else { None };
            (glyph, words.unwrap_or(""))
        })
    }
}

#[cfg(test)]
mod tests {
    use crate::font::{FaceStyle, TextFonts};

    /// Words that run to the right and to the left, with letters that join and marks on letters.
    #[test]
    fn each_part_of_the_words_belongs_to_one_glyph() {
        let fonts = TextFonts::built_in().expect("the faces are there");
        for text in [
            "",
            "1 e & a",
            "offices",
            "e\u{301}a\u{308}\u{301} e",
            "\u{5E9}\u{5DC}\u{5D5}\u{5DD}",
            "ab \u{5E9}\u{5DC}\u{5D5}\u{5DD} \u{5D1} cd",
        ] {
            let run = fonts.shape(text, FaceStyle::Regular);
            assert!(run.letters().is_some() || text.is_empty() || !text.is_ascii(), "{text}");
            let mut parts: Vec<_> = run.glyph_words().collect();
            if let Some(letters) = run.letters() {
                assert_eq!(letters.collect::<Vec<_>>(), parts, "{text}");
            }
            parts.sort_by_key(|(glyph, words)| (glyph.cluster, words.is_empty()));
            let words: String = parts.iter().map(|(_, words)| *words).collect();
            assert_eq!(words, text);
            for (glyph, words) in &parts {
                assert!(text[glyph.cluster as usize..].starts_with(words), "{text}");
            }
        }
    }
}
