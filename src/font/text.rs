//! Faces of words, and their shaping.

use super::FontError;
use super::outline::outline;
use kurbo::{Affine, BezPath, Rect, Shape, Vec2};
use rustybuzz::{Direction, ShapePlan, UnicodeBuffer, script};
use std::collections::HashMap;
use std::ops::Range;
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
    /// Its glyphs, left to right.
    pub glyphs: Vec<ShapedGlyph>,
    /// How far the next run's origin lies to the right.
    pub width: f64,
}

/// One glyph of a run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShapedGlyph {
    /// Its face.
    pub face: FaceId,
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

impl GlyphRun {
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

/// The faces of words. Each style has a first face, and others for the characters that one lacks.
pub struct TextFonts {
    faces: Vec<TextFace>,
    regular: Vec<FaceId>,
    bold: Vec<FaceId>,
    italic: Vec<FaceId>,
    /// Counts and stickings are the same few syllables over and over. One for each style.
    shaped: [Mutex<Shaped>; 3],
}

/// How many faces are part of the program; they come before all others.
const BUILT_IN: u8 = 3;

type Shaped = HashMap<Box<str>, Arc<GlyphRun>>;

struct TextFace {
    face: rustybuzz::Face<'static>,
    data: &'static [u8],
    unit: f64,
    /// Choosing a face's features costs more than shaping a syllable with them.
    latin: OnceLock<ShapePlan>,
    /// By the glyph's number, each drawn when it is first asked for.
    letters: OnceLock<Vec<OnceLock<Box<Letter>>>>,
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
        let regular = include_bytes!(concat!(env!("OUT_DIR"), "/serif-regular.otf"));
        let bold = include_bytes!(concat!(env!("OUT_DIR"), "/serif-bold.otf"));
        let italic = include_bytes!(concat!(env!("OUT_DIR"), "/serif-italic.otf"));
        Ok(Self {
            faces: vec![
                TextFace::parse("the regular text face", regular)?,
                TextFace::parse("the bold text face", bold)?,
                TextFace::parse("the italic text face", italic)?,
            ],
            regular: vec![FaceId(0)],
            bold: vec![FaceId(1), FaceId(0)],
            italic: vec![FaceId(2), FaceId(0)],
            shaped: Default::default(),
        })
    }

    /// Sets words in other faces from now on: a regular one, and a bold and an italic one after it
    /// where there are any. What they lack is taken from the faces before. A font file stays in
    /// memory until the program ends.
    ///
    /// # Errors
    /// Names the file that cannot be read as a font.
    pub fn prefer(&mut self, files: &[(String, Vec<u8>)]) -> Result<(), FontError> {
        let first = self.faces.len();
        let mut parsed = Vec::new();
        for (name, data) in files {
            parsed.push(TextFace::parse(name, Box::leak(data.clone().into_boxed_slice()))?);
        }
        let id = |nth: usize| u8::try_from(first + nth).map(FaceId).ok();
        let count = parsed.len();
        self.faces.extend(parsed);
        let chains = [&mut self.regular, &mut self.bold, &mut self.italic];
        for (nth, chain) in chains.into_iter().enumerate() {
            let own = if nth < count { nth } else { 0 };
            let wanted = (0..count).filter(|nth| *nth == own || *nth == 0).rev();
            let wanted: Vec<FaceId> = wanted.filter_map(id).collect();
            chain.splice(0..0, wanted);
        }
        self.shaped = Default::default();
        Ok(())
    }

    /// The faces of a style: its first, then those for what it lacks.
    pub fn chain(&self, style: FaceStyle) -> &[FaceId] {
        match style {
            FaceStyle::Regular => &self.regular,
            FaceStyle::Bold => &self.bold,
            FaceStyle::Italic => &self.italic,
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
        let [regular, bold, italic] = &self.shaped;
        let shaped = match style {
            FaceStyle::Regular => regular,
            FaceStyle::Bold => bold,
            FaceStyle::Italic => italic,
        };
        let open = || shaped.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(run) = open().get(text) {
            return run.clone();
        }
        // Others go on shaping meanwhile; two that shape the same words come to the same.
        let run = Arc::new(self.shape_anew(text, style));
        open().entry(text.into()).or_insert(run).clone()
    }

    /// Stretches of one face each, shaped one after the other.
    fn shape_anew(&self, text: &str, style: FaceStyle) -> GlyphRun {
        let mut run = GlyphRun { text: text.to_owned(), style, glyphs: Vec::new(), width: 0.0 };
        for (id, range) in self.stretches(text, style) {
            let words = text.get(range.clone()).unwrap_or("");
            let (glyphs, width) = self.face(id).shape(words, id);
            run.glyphs.extend(glyphs.into_iter().map(|glyph| ShapedGlyph {
                x: run.width + glyph.x,
                cluster: range.start + glyph.cluster,
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
            Some(ink + Vec2::new(glyph.x, glyph.y))
        });
        inks.reduce(|all, ink| all.union(ink)).unwrap_or(Rect::ZERO)
    }

    /// The run's outline, in ems, y down, nonzero winding.
    pub fn outline(&self, run: &GlyphRun) -> BezPath {
        let mut whole = BezPath::new();
        for glyph in &run.glyphs {
            let Some(letter) = self.face(glyph.face).letter(glyph.id) else { continue };
            whole.extend(Affine::translate((glyph.x, glyph.y)) * &letter.outline);
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

    /// Height of the capitals above the baseline, in ems.
    pub fn cap_height(&self, style: FaceStyle) -> f64 {
        let face = self.first(style);
        face.height('H', face.face.capital_height())
    }

    /// Height of the small letters above the baseline, in ems.
    pub fn x_height(&self, style: FaceStyle) -> f64 {
        let face = self.first(style);
        face.height('x', face.face.x_height())
    }
}

impl TextFace {
    fn parse(name: &str, data: &'static [u8]) -> Result<Self, FontError> {
        let face = rustybuzz::Face::from_slice(data, 0)
            .ok_or_else(|| FontError(format!("{name} cannot be read as a font")))?;
        let unit = 1.0 / f64::from(face.units_per_em().max(1));
        Ok(Self { face, data, unit, latin: OnceLock::new(), letters: OnceLock::new() })
    }

    fn has(&self, c: char) -> bool {
        c.is_control() || is_invisible(c) || self.face.glyph_index(c).is_some()
    }

    fn letter(&self, id: u16) -> Option<&Letter> {
        let empty = || {
            let count = usize::from(self.face.number_of_glyphs());
            std::iter::repeat_with(OnceLock::new).take(count).collect()
        };
        let letter = self.letters.get_or_init(empty).get(usize::from(id))?;
        Some(letter.get_or_init(|| {
            let outline = Affine::scale(self.unit) * outline(&self.face, GlyphId(id));
            let ink = (!outline.is_empty()).then(|| outline.bounding_box());
            Box::new(Letter { outline, ink })
        }))
    }

    /// The height of a flat-topped letter. Faces state heights too, but some state the round
    /// letters' or none.
    fn height(&self, letter: char, stated: Option<i16>) -> f64 {
        let measured = self.face.glyph_index(letter).and_then(|id| self.letter(id.0)?.ink);
        measured.map(|ink| -ink.y0).or(stated.map(|h| f64::from(h) * self.unit)).unwrap_or_default()
    }

    /// Its own full name.
    fn name(&self) -> String {
        let names = self.face.names().into_iter();
        let mut full = names.filter(|name| name.name_id == ttf_parser::name_id::FULL_NAME);
        full.find_map(|name| name.to_string()).unwrap_or_else(|| "a face without a name".into())
    }

    fn shape(&self, text: &str, face: FaceId) -> (Vec<ShapedGlyph>, f64) {
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
                face,
                id: u16::try_from(info.glyph_id).unwrap_or_default(),
                x: x + f64::from(position.x_offset) * self.unit,
                y: -f64::from(position.y_offset) * self.unit,
                advance,
                cluster: info.cluster as usize,
            });
            x += advance;
        }
        (glyphs, x)
    }
}

/// Whether a character belongs to the one before it: a combining mark of Latin, Greek and Cyrillic
/// (Unicode, "Combining Diacritical Marks"), or nothing seen.
fn joins(c: char) -> bool {
    is_invisible(c)
        || matches!(c, '\u{0300}'..='\u{036F}' | '\u{1AB0}'..='\u{1AFF}' | '\u{1DC0}'..='\u{1DFF}'
            | '\u{20D0}'..='\u{20FF}')
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
