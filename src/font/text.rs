//! The faces of words together: which of them sets a character, and shaping across them.

use super::error::FontError;
use super::face::{TextFace, is_invisible};
use super::readings::Readings;
use super::run::{FaceId, FaceStyle, GlyphRun, ShapedGlyph};
use super::shaped::ShapedWords;
use kurbo::{Affine, BezPath, Rect};
use std::ops::Range;
use std::sync::{Arc, Mutex, PoisonError};

/// What the glyphs of the faces read as that are part of the program.
mod readings_ahead {
    use super::Readings;
    include!(concat!(env!("OUT_DIR"), "/readings.rs"));
}
use readings_ahead::{MONO, SERIF_ITALIC, SERIF_REGULAR, SERIF_SEMIBOLD, SERIF_SEMIBOLD_ITALIC};

/// How many bytes words have that may come again as they are: common practice, no source.
const TITLE: usize = 64;

/// How many faces are part of the program; they come before all others.
const BUILT_IN: u8 = 5;

/// The faces of words. Each style has a first face, and others for the characters that one lacks.
pub struct TextFonts {
    faces: Vec<TextFace>,
    regular: Vec<FaceId>,
    semibold: Vec<FaceId>,
    italic: Vec<FaceId>,
    semibold_italic: Vec<FaceId>,
    mono: Vec<FaceId>,
    /// Counts and stickings are the same few syllables over and over. One for each style.
    shaped: [Mutex<ShapedWords>; 5],
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
            shaped: Default::default(),
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
        self.shaped = Default::default();
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
        let [regular, semibold, italic, semibold_italic, mono] = &self.shaped;
        let shaped = match style {
            FaceStyle::Regular => regular,
            FaceStyle::Semibold => semibold,
            FaceStyle::Italic => italic,
            FaceStyle::SemiboldItalic => semibold_italic,
            FaceStyle::Mono => mono,
        };
        let open = || shaped.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(run) = open().get(text) {
            return run;
        }
        // Others go on shaping meanwhile; two that shape the same words come to the same.
        let run = Arc::new(self.shape_anew(text, style));
        open().add(text, run)
    }

    /// The same for a text from whose glyphs those of its words are to be taken ([`GlyphRun::part`]); nothing
    /// where words might come out otherwise than by themselves, as those of several scripts.
    pub fn shape_to_part(&self, text: &str, style: FaceStyle) -> Option<Arc<GlyphRun>> {
        if !text.chars().all(is_plain) {
            return None;
        }
        // What is longer than a title is parted, and hardly comes again; its glyphs would only fill the memory.
        let once = text.len() > TITLE;
        Some(if once { Arc::new(self.shape_anew(text, style)) } else { self.shape(text, style) })
    }

    /// Stretches of one face each, shaped one after the other.
    fn shape_anew(&self, text: &str, style: FaceStyle) -> GlyphRun {
        let mut run = GlyphRun { text: text.to_owned(), style, glyphs: Vec::new(), width: 0.0 };
        for (id, range) in self.stretches(text, style) {
            let words = text.get(range.clone()).unwrap_or("");
            let (glyphs, width) = self.face(id).shape(words, id);
            let start = u32::try_from(range.start).unwrap_or(u32::MAX);
            run.glyphs.extend(glyphs.into_iter().map(|glyph| ShapedGlyph {
                x: run.width + glyph.x,
                cluster: start.saturating_add(glyph.cluster),
                ..glyph
            }));
            run.width += width;
        }
        run
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
        once_each(text, |c| self.lacks(c))
    }

    /// Whether a character would print as an empty box.
    pub fn lacks(&self, c: char) -> bool {
        FaceStyle::ALL
            .iter()
            .any(|style| !self.chain(*style).iter().any(|id| self.face(*id).has(c)))
    }

    /// The box of the run's ink around its origin, in ems, y down.
    pub fn bounds(&self, run: &GlyphRun) -> Rect {
        let inks = run.glyphs.iter().filter_map(|glyph| {
            let ink = self.face(glyph.face).letter(glyph.id)?.ink?;
            Some(ink + glyph.origin())
        });
        inks.reduce(|all, ink| all.union(ink)).unwrap_or(Rect::ZERO)
    }

    /// The run's outline, in ems, y down, nonzero winding.
    pub fn outline(&self, run: &GlyphRun) -> BezPath {
        let mut whole = BezPath::new();
        for glyph in &run.glyphs {
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

    /// Height of the capitals above the baseline, in ems.
    pub fn cap_height(&self, style: FaceStyle) -> f64 {
        self.first(style).cap_height()
    }

    /// Height of the small letters above the baseline, in ems.
    pub fn x_height(&self, style: FaceStyle) -> f64 {
        self.first(style).x_height()
    }
}

/// Whether a character belongs to the one before it: a combining mark of Latin, Greek and Cyrillic
/// (Unicode, "Combining Diacritical Marks"), or nothing seen.
fn joins(c: char) -> bool {
    is_invisible(c)
        || matches!(c, '\u{0300}'..='\u{036F}' | '\u{1AB0}'..='\u{1AFF}' | '\u{1DC0}'..='\u{1DFF}'
            | '\u{20D0}'..='\u{20FF}')
}

/// Whether a character is Latin or of all scripts, has no ink of others and is seen (Unicode, "Scripts").
fn is_plain(c: char) -> bool {
    matches!(c, ' '..='~' | '\u{A0}'..='\u{24F}' | '\u{2010}'..='\u{2027}') && !is_invisible(c)
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
