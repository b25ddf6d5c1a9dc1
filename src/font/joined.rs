//! A text whose words were shaped before, put together of their glyphs.
//!
//! In the faces of the program nothing reaches over a space but kerning, which pairs one glyph with the next: a word
//! and the spaces at its sides can be shaped once for all texts. A property holds that what comes of it is the text
//! shaped whole.

use super::face_style::FaceStyle;
use super::run::GlyphRun;
use super::run_glyphs::{GlyphRow, RowGlyph, RunGlyphs};
use super::shaped::Shaped;
use std::sync::Arc;

/// A word of longer texts, with the space after it where there is one.
#[derive(Debug)]
pub(super) struct KnownWord {
    /// It and the space.
    pub(super) text: Box<str>,
    /// Its glyphs; nothing where it isn't put together with others.
    pub(super) shaped: Option<ShapedWord>,
}

impl Shaped for Arc<KnownWord> {
    fn words(&self) -> &str {
        &self.text
    }

    fn glyphs(&self) -> usize {
        self.shaped.as_ref().map_or(0, |shaped| shaped.word.glyphs.len())
    }
}

/// The glyphs of a word after a space.
#[derive(Debug)]
pub(super) struct ShapedWord {
    /// The space before it.
    before: RowGlyph,
    /// Its own glyphs, whose clusters count from its first byte.
    word: GlyphRow,
}

impl ShapedWord {
    /// The word of a run that begins with a space; nothing where its glyphs aren't a row.
    pub(super) fn of(run: &GlyphRun) -> Option<Self> {
        let RunGlyphs::Row(row) = &run.glyphs else { return None };
        let (before, own) = row.glyphs.split_first()?;
        let apart = before.cluster() == 0 && own.first().is_none_or(|first| first.cluster() == 1);
        let in_order = own.is_sorted_by_key(|glyph| glyph.cluster());
        let glyphs = || own.iter().map(|glyph| glyph.moved(|at| at.saturating_sub(1))).collect();
        (apart && in_order)
            .then(|| Self { before: *before, word: GlyphRow { glyphs: glyphs(), ..*row } })
    }
}

/// A text of words of one face, each with the space after it but the last; nothing where there are none, or of
/// several faces, and where one isn't put together with others.
pub(super) fn join(text: &str, style: FaceStyle, words: &[Arc<KnownWord>]) -> Option<GlyphRun> {
    let words: Option<Vec<_>> = words.iter().map(|word| word.shaped.as_ref()).collect();
    let words = words?.into_iter();
    let first = words.clone().next()?;
    let mut row = GlyphRow { glyphs: Vec::new(), ..first.word };
    row.glyphs.reserve_exact(words.clone().map(|word| word.word.glyphs.len()).sum());
    let mut start = 0;
    for (word, own) in words.zip(text.split_inclusive(' ')) {
        if word.word.face != row.face {
            return None;
        }
        if let Some(space) = row.glyphs.last_mut() {
            space.advance = word.before.advance;
        }
        row.glyphs.extend(word.word.glyphs.iter().map(|glyph| glyph.moved(|at| start + at)));
        start = start.checked_add(u32::try_from(own.len()).ok()?)?;
    }
    // No space stands before it here.
    if let Some(first) = row.glyphs.first_mut() {
        *first = first.untied();
    }
    let width = row.width();
    Some(GlyphRun { text: text.to_owned(), style, glyphs: RunGlyphs::Row(row), width })
}
