//! What pages draw that is defined once: outlines, and faces with the letters in use.

use crate::font::{FaceId, FaceStyle, Fonts, Glyph};
use crate::write::error::WriteError;
use crate::write::number::path_data;
use crate::write::webfont;
use std::collections::{BTreeMap, BTreeSet};
use svg::node::Node as _;
use svg::node::element as el;

/// The family names of the embedded text faces, and of that of code.
const FAMILY: &str = "Flamacue Serif";
const CODE_FAMILY: &str = "Flamacue Mono";

/// What the page draws that is defined once.
#[derive(Default)]
pub(super) struct Used {
    pub(super) music: BTreeSet<Glyph>,
    pub(super) letters: BTreeSet<(FaceId, u16)>,
    /// By style and by place in its chain of faces.
    pub(super) live: BTreeMap<(FaceStyle, usize), BTreeSet<char>>,
}

impl Used {
    /// Takes the letters of words, each from the face that has it.
    pub(super) fn say(&mut self, words: &str, style: FaceStyle, fonts: &Fonts) {
        for c in words.chars() {
            let depth = depth(fonts, c, style);
            self.live.entry((style, depth)).or_default().insert(c);
        }
    }

    /// The outlines in use; nothing where there are none.
    pub(super) fn definitions(&self, fonts: &Fonts) -> Option<el::Definitions> {
        if self.music.is_empty() && self.letters.is_empty() {
            return None;
        }
        let mut definitions = el::Definitions::new();
        for glyph in &self.music {
            let outline = el::Path::new()
                .set("id", music_id(&font_id(fonts), *glyph))
                .set("d", path_data(&fonts.music.outline(*glyph)));
            definitions.append(outline);
        }
        for (face, id) in &self.letters {
            let outline = el::Path::new()
                .set("id", letter_id(*face, *id))
                .set("d", path_data(&fonts.text.glyph_outline(*face, *id)));
            definitions.append(outline);
        }
        Some(definitions)
    }

    /// The style sheet of the faces in use; nothing where there are none.
    pub(super) fn style_sheet(&self, fonts: &Fonts) -> Result<Option<el::Style>, WriteError> {
        if self.live.is_empty() {
            return Ok(None);
        }
        Ok(Some(el::Style::new(self.face_rules(fonts)?)))
    }

    /// The rules of the faces in use, which hold them.
    pub(super) fn face_rules(&self, fonts: &Fonts) -> Result<String, WriteError> {
        let files = self.face_files(fonts)?;
        Ok(files.iter().map(|file| file.rule(&webfont::data_url(&file.bytes))).collect())
    }

    /// The faces in use, with the letters in use.
    pub(super) fn face_files(&self, fonts: &Fonts) -> Result<Vec<FaceFile>, WriteError> {
        let mut files = Vec::new();
        for ((style, depth), letters) in &self.live {
            let Some(face) = fonts.text.chain(*style).get(*depth) else { continue };
            let bytes = webfont::subset(fonts.text.data(*face), letters)?;
            files.push(FaceFile { style: *style, depth: *depth, bytes });
        }
        Ok(files)
    }
}

/// A face with the letters in use.
pub(in crate::write) struct FaceFile {
    style: FaceStyle,
    /// Its place in the chain of the style.
    depth: usize,
    /// The font.
    pub(in crate::write) bytes: Vec<u8>,
}

impl FaceFile {
    /// The rule of a style sheet by which the face is found at an address.
    pub(in crate::write) fn rule(&self, url: &str) -> String {
        let (weight, slant) = css(self.style);
        let family = family(self.style, self.depth);
        format!(
            "@font-face{{font-family:\"{family}\";font-weight:{weight};font-style:{slant};\
             src:url({url})}}\n"
        )
    }
}

/// How far down its style's chain of faces a character is found.
pub(super) fn depth(fonts: &Fonts, c: char, style: FaceStyle) -> usize {
    let face = fonts.text.face_of(c, style);
    fonts.text.chain(style).iter().position(|id| *id == face).unwrap_or(0)
}

/// The embedded family of a place in the chain of a style.
pub(super) fn family(style: FaceStyle, depth: usize) -> String {
    let family = match style {
        FaceStyle::Regular
        | FaceStyle::Semibold
        | FaceStyle::Italic
        | FaceStyle::SemiboldItalic => FAMILY,
        FaceStyle::Mono => CODE_FAMILY,
    };
    if depth == 0 { family.to_owned() } else { format!("{family} {}", depth + 1) }
}

/// The weight and the slant of a style, as style sheets say them.
pub(super) fn css(style: FaceStyle) -> (&'static str, &'static str) {
    match style {
        FaceStyle::Regular => ("400", "normal"),
        FaceStyle::Semibold => ("600", "normal"),
        FaceStyle::Italic => ("400", "italic"),
        FaceStyle::SemiboldItalic => ("600", "italic"),
        FaceStyle::Mono => ("400", "normal"),
    }
}

/// The name of the music font in ids. Ids name their font, so that pictures set with different fonts can
/// stand in one web page.
pub(super) fn font_id(fonts: &Fonts) -> String {
    let name = fonts.music.name().chars().filter(char::is_ascii_alphanumeric);
    name.map(|c| c.to_ascii_lowercase()).collect()
}

/// The id of a glyph of the music font.
pub(super) fn music_id(font: &str, glyph: Glyph) -> String {
    format!("{font}-{}", glyph.name())
}

/// The id of a letter.
pub(super) fn letter_id(face: FaceId, id: u16) -> String {
    match FaceStyle::ALL.get(usize::from(face.0)) {
        Some(
            style @ (FaceStyle::Regular
            | FaceStyle::Semibold
            | FaceStyle::Italic
            | FaceStyle::SemiboldItalic),
        ) => {
            format!("serif-{}-{id}", style.name())
        }
        Some(FaceStyle::Mono) => format!("mono-{id}"),
        None => format!("text{}-{id}", face.0),
    }
}
