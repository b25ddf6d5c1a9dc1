//! A text whose words were shaped before, put together of their glyphs; so too a number of its signs.
//!
//! In the faces of the program nothing reaches over a space, or from figure to figure, but kerning, which pairs one
//! glyph with the next: a word and the spaces at its sides can be shaped once for all texts, and so can each two signs
//! of a number. Tests hold that what comes of it is the text shaped whole.

use super::face_style::FaceStyle;
use super::lately;
use super::lately::{KnowerId, Lately};
use super::run::GlyphRun;
use super::run_glyphs::{GlyphRow, RowGlyph, RunGlyphs};
use super::shaped::{Shaped, SharedWords, TITLE};
use smallvec::SmallVec;
use std::cell::RefCell;
use std::sync::Arc;

/// What texts were put together of.
#[derive(Default)]
pub(super) struct KnownParts {
    /// Words, each with the space after it.
    words: Known,
    /// Signs of numbers, two by two.
    signs: Known,
}

impl KnownParts {
    /// A text put together of its words, or a number of its signs; nothing where it is neither, and where its parts
    /// are of several faces, or one isn't put together with others. What isn't known is shaped now.
    pub(super) fn join(
        &self,
        text: &str,
        style: FaceStyle,
        shape: impl Fn(&str) -> GlyphRun,
    ) -> Option<GlyphRun> {
        if !text.contains(' ') {
            return self.number(text, style, &shape);
        }
        let words = || text.split_inclusive(' ');
        let known: Option<Vec<_>> = words().map(|word| self.word(word, style, &shape)).collect();
        let known = known?;
        let first = known.first()?.shaped.as_ref()?;
        let row = GlyphRow { glyphs: Vec::new(), ..first.word };
        continued((row, 0), (text, style), known.iter().zip(words().map(str::len)))
    }

    /// A word with the space after it.
    fn word(
        &self,
        word: &str,
        style: FaceStyle,
        shape: &impl Fn(&str) -> GlyphRun,
    ) -> Option<Arc<KnownPart>> {
        let shaped = || {
            let whole = [" ", word].concat();
            self.number(&whole, style, shape).unwrap_or_else(|| shape(&whole))
        };
        (word.len() <= TITLE).then(|| self.words.part(word, style, shaped))
    }

    /// A number, with spaces at its sides or without, put together of each two of its signs that stand side by side.
    fn number(
        &self,
        text: &str,
        style: FaceStyle,
        shape: &impl Fn(&str) -> GlyphRun,
    ) -> Option<GlyphRun> {
        if !text.bytes().all(is_of_numbers) {
            return None;
        }
        let pairs = (2..=text.len()).filter_map(|end| text.get(end - 2..end));
        let known: SmallVec<[_; 8]> =
            pairs.map(|pair| self.signs.part(pair, style, || shape(pair))).collect();
        let first = known.first()?.shaped.as_ref()?;
        let row = GlyphRow { glyphs: vec![first.before], ..first.word };
        continued((row, 1), (text, style), known.iter().map(|pair| (pair, 1)))
    }
}

thread_local! {
    static LATELY: RefCell<Lately<Arc<KnownPart>>> = RefCell::default();
}

/// Parts of one kind as they were shaped before.
#[derive(Default)]
struct Known {
    id: KnowerId,
    shared: SharedWords<Arc<KnownPart>>,
}

impl Known {
    /// A part as it was shaped before, or is shaped now.
    fn part(
        &self,
        text: &str,
        style: FaceStyle,
        shaped: impl FnOnce() -> GlyphRun,
    ) -> Arc<KnownPart> {
        let find = || self.shared.get(text, style);
        let copy = |part: &Arc<KnownPart>| Arc::new(KnownPart::clone(part));
        let make = || {
            let known = KnownPart { text: text.into(), shaped: ShapedPart::of(&shaped()) };
            self.shared.add(Arc::new(known), style)
        };
        lately::or_made(&LATELY, (self.id, text, style), find, copy, make)
    }
}

/// Whether a number may have a sign: figures, and what stands between and beside them, as in 2.10, 4/4, 3-12 and (7).
fn is_of_numbers(sign: u8) -> bool {
    matches!(sign, b'0'..=b'9' | b'.' | b',' | b':' | b'-' | b'+' | b'/' | b'(' | b')' | b' ')
}

/// A word of longer texts, with the space after it where there is one; or two signs of a number.
#[derive(Clone, Debug)]
struct KnownPart {
    /// It and the space; the two signs.
    text: Box<str>,
    /// Its glyphs; nothing where it isn't put together with others.
    shaped: Option<ShapedPart>,
}

impl Shaped for Arc<KnownPart> {
    fn words(&self) -> &str {
        &self.text
    }

    fn glyphs(&self) -> usize {
        self.shaped.as_ref().map_or(0, |shaped| shaped.word.glyphs.len())
    }
}

/// The glyphs of a word after a space, or of a sign after another.
#[derive(Clone, Debug)]
struct ShapedPart {
    /// The space or the sign before it.
    before: RowGlyph,
    /// Its own glyphs, whose clusters count from its first byte.
    word: GlyphRow,
}

impl ShapedPart {
    /// What comes after the first byte of a run, a space or a sign; nothing where its glyphs aren't a row.
    fn of(run: &GlyphRun) -> Option<Self> {
        let RunGlyphs::Row(row) = &run.glyphs else { return None };
        let (before, own) = row.glyphs.split_first()?;
        let apart = before.cluster() == 0 && own.first().is_none_or(|first| first.cluster() == 1);
        let in_order = own.is_sorted_by_key(|glyph| glyph.cluster());
        let glyphs = || own.iter().map(|glyph| glyph.moved(|at| at.saturating_sub(1))).collect();
        (apart && in_order)
            .then(|| Self { before: *before, word: GlyphRow { glyphs: glyphs(), ..*row } })
    }
}

/// The glyphs of the first bytes of a text, and after them those of its parts, each so many bytes of it.
fn continued<'a>(
    (mut row, mut start): (GlyphRow, u32),
    (text, style): (&str, FaceStyle),
    parts: impl Iterator<Item = (&'a Arc<KnownPart>, usize)> + Clone,
) -> Option<GlyphRun> {
    let glyphs = parts.clone().map(|(part, _)| part.glyphs());
    row.glyphs.reserve_exact(glyphs.sum());
    for (part, bytes) in parts {
        let ShapedPart { before, word } = part.shaped.as_ref()?;
        if word.face != row.face {
            return None;
        }
        if let Some(last) = row.glyphs.last_mut() {
            last.advance = before.advance;
        }
        row.glyphs.extend(word.glyphs.iter().map(|glyph| glyph.moved(|at| start + at)));
        start = start.checked_add(u32::try_from(bytes).ok()?)?;
    }
    // Nothing stands before it here.
    if let Some(first) = row.glyphs.first_mut() {
        *first = first.untied();
    }
    let width = row.width();
    Some(GlyphRun { text: text.to_owned(), style, glyphs: RunGlyphs::Row(row), width })
}
