//! The faces of words together: which of them sets a character, and shaping across them.

use super::characters::{is_plain, joins};
use super::error::FontError;
use super::face::TextFace;
use super::face_style::{FaceId, FaceStyle};
use super::joined::KnownParts;
use super::lately;
use super::lately::{KnowerId, Lately};
use super::readings::Readings;
use super::run::GlyphRun;
use super::run_glyphs::{RunGlyphs, ShapedGlyph};
use super::shaped::{SharedWords, TITLE};
use kurbo::{Affine, BezPath, Rect};
use std::cell::RefCell;
use std::ops::Range;
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};

/// What the glyphs of the faces read as that are part of the program.
mod readings_ahead {
    use super::Readings;
    include!(concat!(env!("OUT_DIR"), "/readings.rs"));
}
use readings_ahead::{MONO, SERIF_ITALIC, SERIF_REGULAR, SERIF_SEMIBOLD, SERIF_SEMIBOLD_ITALIC};

/// Bytes of texts after which most words have come before (from memory: the hundred most frequent words are half of an
/// English text). In shorter texts it takes longer to shape each word with the spaces around it.
const MUCH: usize = 8 * 1024;

/// Whether texts are put together of words. Web pages set a paragraph at a time, and wait for every byte of the
/// module.
const JOINED: bool = !cfg!(target_family = "wasm");

/// How many faces are part of the program; they come before all others.
const BUILT_IN: u8 = 5;

thread_local! {
    static LATELY: RefCell<Lately<Arc<GlyphRun>>> = RefCell::default();
}

/// The faces of words. Each style has a first face, and others for the characters that one lacks.
pub struct TextFonts {
    faces: Vec<TextFace>,
    regular: Vec<FaceId>,
    semibold: Vec<FaceId>,
    italic: Vec<FaceId>,
    semibold_italic: Vec<FaceId>,
    mono: Vec<FaceId>,
    id: KnowerId,
    /// What was shaped, by its words.
    shaped: SharedWords<Arc<GlyphRun>>,
    /// What texts are put together of.
    parts: KnownParts,
    /// How many bytes of texts of several words were shaped.
    parted: AtomicUsize,
}

impl std::fmt::Debug for TextFonts {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("TextFonts").finish_non_exhaustive()
    }
}

impl TextFonts {
    /// The serif family that is part of the program, and its face for code.
    ///
    /// # Errors
    /// Says which face cannot be read.
    pub fn built_in() -> Result<Self, FontError> {
        let regular = include_bytes!(concat!(env!("OUT_DIR"), "/serif-regular.otf"));
        let semibold = include_bytes!(concat!(env!("OUT_DIR"), "/serif-semibold.otf"));
        let italic = include_bytes!(concat!(env!("OUT_DIR"), "/serif-italic.otf"));
        let both = include_bytes!(concat!(env!("OUT_DIR"), "/serif-semibold-italic.otf"));
        let mono = include_bytes!(concat!(env!("OUT_DIR"), "/mono.otf"));
        Ok(Self {
            faces: vec![
                TextFace::parse("the regular text face", regular, SERIF_REGULAR)?,
                TextFace::parse("the semibold text face", semibold, SERIF_SEMIBOLD)?,
                TextFace::parse("the italic text face", italic, SERIF_ITALIC)?,
                TextFace::parse("the semibold italic text face", both, SERIF_SEMIBOLD_ITALIC)?,
                TextFace::parse("the face of code", mono, MONO)?,
            ],
            regular: vec![FaceId(0)],
            semibold: vec![FaceId(1), FaceId(0)],
            italic: vec![FaceId(2), FaceId(0)],
            semibold_italic: vec![FaceId(3), FaceId(0)],
            mono: vec![FaceId(4), FaceId(0)],
            id: KnowerId::new(),
            shaped: SharedWords::default(),
            parts: KnownParts::default(),
            parted: AtomicUsize::new(0),
        })
    }

    /// Sets words but code in other faces from now on: a regular one, and a bold and an italic one after
    /// it where there are any. What they lack is taken from the faces before. A font file stays in
    /// memory until the program ends.
    ///
    /// # Errors
    /// Names the file that cannot be read as a font.
    pub fn prefer(&mut self, files: &[(String, Vec<u8>)]) -> Result<(), FontError> {
        let first = self.faces.len();
        let mut parsed = Vec::new();
        for (name, data) in files {
            TextFace::check(name, data)?;
            parsed.push(TextFace::parse(name, Box::leak(data.clone().into_boxed_slice()), None)?);
        }
        let id = |nth: usize| u8::try_from(first + nth).map(FaceId).ok();
        let count = parsed.len();
        self.faces.extend(parsed);
        let own = |nth: usize| if nth < count { nth } else { 0 };
        // What is both is italic where there is an italic face of their own.
        for (own, chain) in [
            (0, &mut self.regular),
            (own(1), &mut self.semibold),
            (own(2), &mut self.italic),
            (own(2), &mut self.semibold_italic),
        ] {
            let wanted = (0..count).filter(|nth| *nth == own || *nth == 0).rev();
            let wanted: Vec<FaceId> = wanted.filter_map(id).collect();
            chain.splice(0..0, wanted);
        }
        // Code keeps its own letters, and takes the others from the regular face.
        self.mono = self.mono.iter().take(1).chain(&self.regular).copied().collect();
        self.id = KnowerId::new();
        self.shaped = SharedWords::default();
        self.parts = KnownParts::default();
        Ok(())
    }

    /// The faces of a style: its first, then those for what it lacks.
    pub fn chain(&self, style: FaceStyle) -> &[FaceId] {
        match style {
            FaceStyle::Regular => &self.regular,
            FaceStyle::Semibold => &self.semibold,
            FaceStyle::Italic => &self.italic,
            FaceStyle::SemiboldItalic => &self.semibold_italic,
            FaceStyle::Mono => &self.mono,
        }
    }

    fn face(&self, id: FaceId) -> &TextFace {
        // A face's number is only made here, and faces are never taken out.
        self.faces.get(usize::from(id.0)).unwrap_or(&self.faces[0])
    }

    fn first(&self, style: FaceStyle) -> &TextFace {
        self.face(self.chain(style).first().copied().unwrap_or_default())
    }

    /// The font file of a face.
    pub fn data(&self, id: FaceId) -> &[u8] {
        self.face(id).data
    }

    /// The names of all faces, for messages, those tried first in front.
    pub fn names(&self) -> Vec<String> {
        let mut ids: Vec<FaceId> = Vec::new();
        for id in FaceStyle::ALL.iter().flat_map(|style| self.chain(*style)) {
            if !ids.contains(id) {
                ids.push(*id);
            }
        }
        ids.sort_by_key(|id| (id.0 < BUILT_IN, id.0));
        ids.into_iter().map(|id| self.face(id).name()).collect()
    }

    /// The first face of a style that has a character; the style's first face where none has.
    pub fn face_of(&self, c: char, style: FaceStyle) -> FaceId {
        let chain = self.chain(style);
        let having = chain.iter().find(|id| self.face(**id).has(c));
        having.or(chain.first()).copied().unwrap_or_default()
    }

    /// Shapes words: kerning, ligatures and accents.
    pub fn shape(&self, text: &str, style: FaceStyle) -> Arc<GlyphRun> {
        let find = || self.shaped.get(text, style);
        let copy = Arc::clone;
        // Others go on shaping meanwhile; two that shape the same words come to the same.
        let make = || {
            let parted = text.len() <= TITLE && text.chars().all(is_plain);
            let joined = if parted { self.joined_where_much(text, style) } else { None };
            let run = joined.unwrap_or_else(|| self.shape_anew(text, style));
            self.shaped.add(Arc::new(run), style)
        };
        lately::or_made(&LATELY, (self.id, text, style), find, copy, make)
    }

    /// The same for a text from whose glyphs those of its words are to be taken ([`GlyphRun::part`]); nothing
    /// where words might come out otherwise than by themselves, as those of several scripts.
    pub fn shape_to_part(&self, text: &str, style: FaceStyle) -> Option<Arc<GlyphRun>> {
        if !text.chars().all(is_plain) {
            return None;
        }
        // What is longer than a title is parted, and hardly comes again; its glyphs would only fill the memory.
        if text.len() <= TITLE {
            return Some(self.shape(text, style));
        }
        let joined = self.joined_where_much(text, style);
        Some(Arc::new(joined.unwrap_or_else(|| self.shape_anew(text, style))))
    }

    /// A text put together of its parts; nothing where too few came before to have most of them, or where these aren't
    /// all of one face of the program.
    fn joined_where_much(&self, text: &str, style: FaceStyle) -> Option<GlyphRun> {
        let much = JOINED && self.parted.fetch_add(text.len(), Ordering::Relaxed) > MUCH;
        if much { self.joined(text, style) } else { None }
    }

    /// A text put together of its parts; nothing where these aren't all of one face of the program.
    fn joined(&self, text: &str, style: FaceStyle) -> Option<GlyphRun> {
        self.chain(style).first().filter(|first| first.0 < BUILT_IN)?;
        self.parts.join(text, style, |part| self.shape_anew(part, style))
    }

    /// Stretches of one face each, shaped one after the other.
    fn shape_anew(&self, text: &str, style: FaceStyle) -> GlyphRun {
        let stretches = self.stretches(text, style);
        if let [(id, _)] = stretches.as_slice() {
            let (glyphs, width) = self.face(*id).shape(text, *id);
            return GlyphRun { text: text.to_owned(), style, glyphs, width };
        }
        let (mut placed, mut width) = (Vec::new(), 0.0);
        for (id, range) in stretches {
            let words = text.get(range.clone()).unwrap_or("");
            let (glyphs, own) = self.face(id).shape(words, id);
            let start = u32::try_from(range.start).unwrap_or(u32::MAX);
            placed.extend(glyphs.iter().map(|glyph| ShapedGlyph {
                x: width + glyph.x,
                cluster: start.saturating_add(glyph.cluster),
                ..glyph
            }));
            width += own;
        }
        GlyphRun { text: text.to_owned(), style, glyphs: RunGlyphs::Placed(placed), width }
    }

    /// The text in stretches that one face has. Marks stay with the letter they stand on.
    fn stretches(&self, text: &str, style: FaceStyle) -> Vec<(FaceId, Range<usize>)> {
        let mut stretches: Vec<(FaceId, Range<usize>)> = Vec::new();
        for (at, c) in text.char_indices() {
            let end = at + c.len_utf8();
            let id = self.face_of(c, style);
            match stretches.last_mut() {
                Some((last, range)) if *last == id || (joins(c) && self.face(*last).has(c)) => {
                    range.end = end;
                }
                _ => stretches.push((id, at..end)),
            }
        }
        stretches
    }

    /// Characters of `text` that no face has, each once, in order of appearance.
    pub fn missing(&self, text: &str) -> Vec<char> {
        let mut found = Vec::new();
        for c in text.chars() {
            if !found.contains(&c) && self.lacks(c) {
                found.push(c);
            }
        }
        found
    }

    /// Whether a character would print as an empty box.
    pub fn lacks(&self, c: char) -> bool {
        FaceStyle::ALL
            .iter()
            .any(|style| !self.chain(*style).iter().any(|id| self.face(*id).has(c)))
    }

    /// The box of the run's ink around its origin, in ems, y down.
    pub fn bounds(&self, run: &GlyphRun) -> Rect {
        let inks = run.glyphs().filter_map(|glyph| {
            let ink = self.face(glyph.face).letter(glyph.id)?.ink?;
            Some(ink + glyph.origin())
        });
        inks.reduce(|all, ink| all.union(ink)).unwrap_or(Rect::ZERO)
    }

    /// The run's outline, in ems, y down, nonzero winding.
    pub fn outline(&self, run: &GlyphRun) -> BezPath {
        let mut whole = BezPath::new();
        for glyph in run.glyphs() {
            let Some(letter) = self.face(glyph.face).letter(glyph.id) else { continue };
            whole.extend(Affine::translate(glyph.origin()) * &letter.outline);
        }
        whole
    }

    /// The outline of one glyph around its origin, in ems, y down, nonzero winding.
    pub fn glyph_outline(&self, face: FaceId, id: u16) -> BezPath {
        self.face(face).letter(id).map(|letter| letter.outline.clone()).unwrap_or_default()
    }

    /// Whether a glyph leaves ink; a space does not.
    pub fn has_ink(&self, face: FaceId, id: u16) -> bool {
        self.face(face).letter(id).is_some_and(|letter| letter.ink.is_some())
    }

    /// The advance of a glyph without kerning, in whole thousandths of the em, rounded down.
    pub fn thousandths(&self, face: FaceId, id: u16) -> i64 {
        self.face(face).thousandths(id)
    }

    /// What a glyph reads as by itself, whatever it is shown for: nothing where its face says nothing.
    pub fn reading(&self, face: FaceId, id: u16) -> impl Iterator<Item = char> {
        self.face(face).readings().reading(id)
    }

    /// Whether a glyph reads as words by itself.
    pub fn reads_as(&self, face: FaceId, id: u16, words: &str) -> bool {
        self.face(face).readings().reads_as(id, words)
    }

    /// Height of the capitals above the baseline, in ems.
    pub fn cap_height(&self, style: FaceStyle) -> f64 {
        self.first(style).cap_height()
    }

    /// Height of the small letters above the baseline, in ems.
    pub fn x_height(&self, style: FaceStyle) -> f64 {
        self.first(style).x_height()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// A text put together of its words is the text shaped whole.
    fn is_the_same(fonts: &TextFonts, text: &str) {
        for style in FaceStyle::ALL {
            let joined = fonts.joined(text, style).expect("words of one face");
            let whole = fonts.shape_anew(text, style);
            assert_eq!(joined, whole, "{text} in {style:?}");
        }
    }

    #[test]
    fn no_pair_of_signs_reaches_over_a_space_but_by_kerning() {
        let fonts = TextFonts::built_in().expect("fonts");
        let signs: Vec<char> = (' '..='~').chain("éÖßæ“”‘’„–—…\u{2002}".chars()).collect();
        for first in &signs {
            let text: String =
                signs.iter().map(|second| format!("{first} {second}x{first} ")).collect();
            is_the_same(&fonts, &text);
        }
    }

    #[test]
    fn no_pair_of_signs_of_numbers_reaches_further_but_by_kerning() {
        let fonts = TextFonts::built_in().expect("fonts");
        let signs: Vec<char> = ('0'..='9').chain(".,:-+/()".chars()).collect();
        for first in &signs {
            for text in signs.iter().flat_map(|second| {
                signs.iter().map(move |third| String::from_iter([first, second, third]))
            }) {
                is_the_same(&fonts, &text);
                is_the_same(&fonts, &format!("{text} {text} bars {text}"));
            }
        }
    }

    proptest! {
        #[test]
        fn a_number_is_the_number_shaped_whole(text in "[0-9.,:+/()-]{2,70}") {
            is_the_same(&TextFonts::built_in().expect("fonts"), &text);
        }

        #[test]
        fn a_text_of_words_is_the_text_shaped_whole(
            text in "(([A-Za-zTVWAyfi.,'’“”(1/-]|[ -~]|[à-ž\u{2002}]){0,6} {1,2}){1,6}[ -~]{1,3}",
        ) {
            is_the_same(&TextFonts::built_in().expect("fonts"), &text);
        }

        #[test]
        fn a_text_is_shaped_alike_however_much_was_shaped_before(words in "[a-zA-Z .,'-]{65,200}") {
            let (early, late) =
                (TextFonts::built_in().expect("fonts"), TextFonts::built_in().expect("fonts"));
            late.parted.store(MUCH + 1, Ordering::Relaxed);
            let shaped = |fonts: &TextFonts| fonts.shape_to_part(&words, FaceStyle::Regular);
            prop_assert_eq!(shaped(&early), shaped(&late));
            let title = &words[..words.len().min(TITLE)];
            let shaped = |fonts: &TextFonts| fonts.shape(title, FaceStyle::Semibold);
            prop_assert_eq!(shaped(&early), shaped(&late));
        }
    }
}
