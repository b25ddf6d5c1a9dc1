//! A text whose words were shaped before, put together of their glyphs.
//!
//! In the faces of the program nothing reaches over a space but kerning, which pairs one glyph with the next: a word
//! and the spaces at its sides can be shaped once for all texts. A property holds that what comes of it is the text
//! shaped whole.

use super::run::{FaceStyle, GlyphRun, ShapedGlyph};

/// A word after a space, and with the space after it where there is one.
#[derive(Debug)]
pub(super) struct ShapedWord {
    /// The advance of the space before it, in ems.
    before: f64,
    /// Its glyphs, x right from where it begins. Clusters count from its first byte.
    glyphs: Vec<ShapedGlyph>,
}

impl ShapedWord {
    /// The word of a run that begins with a space; nothing where its glyphs don't stand one after another.
    pub(super) fn of(run: &GlyphRun) -> Option<Self> {
        let (space, word) = run.glyphs.split_first()?;
        let (mut x, mut cluster) = (0.0, 0);
        for glyph in &run.glyphs {
            let moved = glyph.x != x || glyph.y != 0.0 || glyph.face != space.face;
            if moved || glyph.cluster < cluster {
                return None;
            }
            cluster = glyph.cluster;
            x += glyph.advance;
        }
        let own = |glyph: &ShapedGlyph| ShapedGlyph {
            cluster: glyph.cluster.saturating_sub(1),
            ..*glyph
        };
        let apart = space.cluster == 0 && word.first().is_none_or(|first| first.cluster == 1);
        apart.then(|| Self { before: space.advance, glyphs: word.iter().map(own).collect() })
    }
}

/// A text of words; each with the space after it but the last.
pub(super) fn join<T: AsRef<ShapedWord>>(text: &str, style: FaceStyle, words: &[T]) -> GlyphRun {
    let count = words.iter().map(|word| word.as_ref().glyphs.len()).sum();
    let mut glyphs: Vec<ShapedGlyph> = Vec::with_capacity(count);
    let (mut x, mut start) = (0.0, 0);
    let mut texts = text.split_inclusive(' ');
    for (nth, word) in words.iter().enumerate() {
        let word = word.as_ref();
        if let Some(space) = glyphs.last_mut() {
            x = space.x + word.before;
            space.advance = word.before;
        }
        let first = glyphs.len();
        for glyph in &word.glyphs {
            glyphs.push(ShapedGlyph { x, cluster: start + glyph.cluster, ..*glyph });
            x += glyph.advance;
        }
        if let (0, Some(glyph)) = (nth, glyphs.get_mut(first)) {
            // No space stands before it here.
            glyph.tied = false;
        }
        start += texts.next().map_or(0, |own| u32::try_from(own.len()).unwrap_or(u32::MAX));
    }
    GlyphRun { text: text.to_owned(), style, glyphs, width: x }
}
