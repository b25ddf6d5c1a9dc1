//! The faces a drawing uses, cut down to the glyphs it uses, and what each glyph reads as.

use super::face::{Face, Readings};
use super::face_key::FaceKey;
use super::font_objects;
use super::shown::Shown;
use crate::font::Fonts;
use crate::parallel::{Each, map_in_order};
use crate::write::error::WriteError;
use lopdf::{Dictionary, Document};
use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, BTreeSet};

/// The faces in use.
pub(super) struct Faces(BTreeMap<FaceKey, Face>);

impl Faces {
    /// The faces of what is shown, and what they read otherwise than some of it says.
    pub(super) fn of(shown: &Shown<'_>, fonts: &Fonts) -> Result<(Self, Misread), WriteError> {
        let mut faces: BTreeMap<FaceKey, Readings> = BTreeMap::new();
        let mut several: BTreeSet<(FaceKey, u16)> = BTreeSet::new();
        let mut add =
            |key: FaceKey, id: u16, words: &str| match faces.entry(key).or_default().entry(id) {
                Entry::Vacant(place) => drop(place.insert(words.to_owned())),
                Entry::Occupied(mut known) if known.get() != words => {
                    several.insert((key, id));
                    if words < known.get().as_str() {
                        known.insert(words.to_owned());
                    }
                }
                Entry::Occupied(_) => {}
            };
        for run in shown.runs() {
            for (glyph, words) in run.glyph_words() {
                add(FaceKey::Text(glyph.face), glyph.id, words);
            }
        }
        for sign in &shown.signs {
            if let Some(id) = fonts.music.glyph_id(*sign) {
                add(FaceKey::Music, id, &spoken(sign.name()));
            }
        }
        let reads = |(key, id): (FaceKey, u16)| {
            let reads = faces.get(&key).and_then(|readings| readings.get(&id));
            ((key, id), reads.cloned().unwrap_or_default())
        };
        let misread = Misread(several.into_iter().map(reads).collect());
        let subset = |(key, readings)| Ok((key, Face::subset(key, readings, fonts)?));
        let faces = map_in_order(Each::Large, faces.into_iter().collect(), subset);
        Ok((Self(faces.into_iter().collect::<Result<_, WriteError>>()?), misread))
    }

    /// The number of a glyph of a font file in the document; that of the empty box where it has none.
    pub(super) fn code(&self, key: FaceKey, glyph: u16) -> u16 {
        self.0.get(&key).and_then(|face| face.code(glyph)).unwrap_or(0)
    }

    /// Adds the faces to a document: what pages call each, and where it lies.
    pub(super) fn add(&self, document: &mut Document) -> Dictionary {
        let mut faces: Vec<&Face> = self.0.values().collect();
        faces.sort_by(|one, other| one.resource.cmp(&other.resource));
        let mut fonts = Dictionary::new();
        for face in faces {
            fonts.set(face.resource.as_str(), font_objects::add(document, face));
        }
        fonts
    }
}

/// The most letters of a word for a sign: readers know no longer ones for a single glyph.
const WORD: usize = 7;

/// A word for a sign with a blank after it (`noteheadXBlack`: `note `): what a program copies that knows no
/// better. Its code point is private to music fonts.
fn spoken(name: &str) -> String {
    let figures = name.strip_prefix("timeSig").or_else(|| name.strip_prefix("tuplet"));
    if let Some(figures) = figures.filter(|rest| rest.bytes().all(|byte| byte.is_ascii_digit())) {
        return format!("{figures} ");
    }
    let word: String = name.chars().take_while(char::is_ascii_lowercase).collect();
    let word = match word.as_str() {
        "notehead" => "note",
        "unpitched" => "clef",
        other => other.get(..WORD).unwrap_or(other),
    };
    format!("{word} ")
}

/// Glyphs that stand for several words in a document, and which of these each reads as. All others read as
/// the words they stand for.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Misread(BTreeMap<(FaceKey, u16), String>);

impl Misread {
    /// What a glyph reads as that stands for some words.
    pub(super) fn reading<'a>(&'a self, key: FaceKey, glyph: u16, words: &'a str) -> &'a str {
        self.0.get(&(key, glyph)).map_or(words, String::as_str)
    }
}
