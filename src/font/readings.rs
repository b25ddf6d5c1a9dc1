//! What each glyph of a face of words reads as by itself, whatever a document shows it for.
//!
//! `build.rs` works it out for the faces that are part of the program, so this file stands alone.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::ops::RangeInclusive;
use ttf_parser::cmap::Subtable;
use ttf_parser::gsub::{Ligature, LigatureSubstitution, SingleSubstitution, SubstitutionSubtable};
use ttf_parser::{Face, GlyphId};

/// Glyphs that follow each other in a face and stand for characters that follow each other too: the first
/// glyph, the first character, and how many they are.
pub type Stretch = (u16, u32, u16);

/// The letters of a glyph that joins several, and then nothing.
pub type Letters = [char; 4];

/// A glyph for each character of ASCII.
pub type Ascii = [u16; 128];

/// What glyphs read as.
#[derive(Clone, Debug)]
pub struct Readings {
    /// Glyphs of one character, in their order.
    pub characters: Cow<'static, [Stretch]>,
    /// Glyphs of several, in their order.
    pub ligatures: Cow<'static, [(u16, Letters)]>,
    /// Of each character of ASCII a glyph that reads as it and nothing else, zero where there is none: most words
    /// are of these.
    pub ascii: Ascii,
}

impl Readings {
    /// Those of a table that was made ahead.
    #[cfg_attr(target_family = "wasm", allow(dead_code, reason = "none is, for the web"))]
    pub const fn made_ahead(
        characters: &'static [Stretch],
        ligatures: &'static [(u16, Letters)],
        ascii: Ascii,
    ) -> Self {
        Self { characters: Cow::Borrowed(characters), ligatures: Cow::Borrowed(ligatures), ascii }
    }

    /// Those of a face. A glyph of several characters reads as the first of them in the order of Unicode, one
    /// that takes the place of other glyphs as these.
    pub fn of(face: &Face<'_>) -> Self {
        let mut single = characters(face);
        let ligatures = ligatures(face, &single);
        let ascii = ascii(single.iter().filter(|(glyph, _)| !ligatures.contains_key(glyph)));
        for (other, character) in alternates(face, &single) {
            single.entry(other).or_insert(character);
        }
        let ligatures = ligatures.into_iter().collect();
        Self { characters: Cow::Owned(stretches(&single)), ligatures: Cow::Owned(ligatures), ascii }
    }

    /// Whether a glyph reads as words.
    pub fn reads_as(&self, glyph: u16, words: &str) -> bool {
        match words.as_bytes() {
            [byte] if self.ascii.get(usize::from(*byte)) == Some(&glyph) && glyph != 0 => true,
            _ => self.reading(glyph).eq(words.chars()),
        }
    }

    /// What a glyph reads as; empty where the face says nothing of it.
    pub fn reading(&self, glyph: u16) -> impl Iterator<Item = char> {
        let ligature = self.ligatures.binary_search_by_key(&glyph, |(glyph, _)| *glyph);
        let letters = match ligature.ok().and_then(|at| self.ligatures.get(at)) {
            Some((_, letters)) => *letters,
            None => [self.character(glyph).unwrap_or(NONE), NONE, NONE, NONE],
        };
        letters.into_iter().filter(|letter| *letter != NONE)
    }

    /// The character of a glyph of one.
    fn character(&self, glyph: u16) -> Option<char> {
        let after = self.characters.partition_point(|(first, ..)| *first <= glyph);
        let (first, character, count) = self.characters.get(after.checked_sub(1)?)?;
        let nth = glyph - first;
        char::from_u32(character + u32::from(nth)).filter(|_| nth < *count)
    }
}

/// The planes of Unicode whose characters are looked for: the scripts in use, and signs.
const CHARACTERS: RangeInclusive<char> = '\0'..='\u{1FFFF}';

/// No letter.
const NONE: char = '\0';

/// How many tables of characters, tables of ligatures and ligatures are looked at: more than a face has that is
/// not made to keep its reader busy.
const MOST_TABLES: usize = 64;
const MOST_LIGATURES: usize = 1 << 16;

/// The first character of each glyph that has any.
fn characters(face: &Face<'_>) -> BTreeMap<u16, char> {
    let tables = face.tables().cmap.iter().flat_map(|cmap| cmap.subtables);
    let tables: Vec<_> = tables.take(MOST_TABLES).filter(Subtable::is_unicode).collect();
    let mut first: BTreeMap<u16, char> = BTreeMap::new();
    for character in CHARACTERS {
        let glyph = tables.iter().find_map(|table| table.glyph_index(character.into()));
        if let Some(GlyphId(glyph @ 1..)) = glyph {
            first.entry(glyph).or_insert(character);
        }
    }
    first
}

/// The glyph of each character of ASCII among glyphs of one character.
fn ascii<'g>(glyphs: impl Iterator<Item = (&'g u16, &'g char)>) -> Ascii {
    let mut ascii = [0; 128];
    for (glyph, character) in glyphs {
        if let Some(of_character) = ascii.get_mut(*character as usize) {
            *of_character = *glyph;
        }
    }
    ascii
}

fn stretches(characters: &BTreeMap<u16, char>) -> Vec<Stretch> {
    let mut stretches: Vec<Stretch> = Vec::new();
    for (glyph, character) in characters {
        let code = u32::from(*character);
        match stretches.last_mut() {
            Some((first, start, count))
                if u32::from(*first) + u32::from(*count) == u32::from(*glyph)
                    && *start + u32::from(*count) == code =>
            {
                *count += 1;
            }
            _ => stretches.push((*glyph, code, 1)),
        }
    }
    stretches
}

/// Letters of Latin that are joined (Unicode, "Alphabetic Presentation Forms").
const JOINED: [(char, &str); 7] = [
    ('\u{FB00}', "ff"),
    ('\u{FB01}', "fi"),
    ('\u{FB02}', "fl"),
    ('\u{FB03}', "ffi"),
    ('\u{FB04}', "ffl"),
    ('\u{FB05}', "st"),
    ('\u{FB06}', "st"),
];

/// The letters of glyphs that join several (OpenType, "GSUB", lookup type 4), where they are not too many.
fn ligatures(face: &Face<'_>, single: &BTreeMap<u16, char>) -> BTreeMap<u16, Letters> {
    let mut ligatures: BTreeMap<u16, Letters> = BTreeMap::new();
    for (glyph, character) in single {
        let joined = JOINED.iter().find(|(joined, _)| joined == character);
        ligatures
            .extend(joined.and_then(|(_, all)| Some((*glyph, letters(all.chars().map(Some))?))));
    }
    let mut seen = 0;
    let tables = substitutions(face).filter_map(Substitution::ligature);
    for table in tables.take(MOST_TABLES) {
        for glyph in single.keys() {
            let set = table.coverage.get(GlyphId(*glyph));
            let set = set.and_then(|at| table.ligature_sets.get(at));
            for Ligature { glyph: GlyphId(whole), components } in set.into_iter().flatten() {
                seen += 1;
                if seen > MOST_LIGATURES {
                    return ligatures;
                }
                if single.contains_key(&whole) || ligatures.contains_key(&whole) {
                    continue;
                }
                let parts = std::iter::once(GlyphId(*glyph)).chain(components);
                let parts = parts.map(|GlyphId(part)| single.get(&part).copied());
                ligatures.extend(letters(parts).map(|letters| (whole, letters)));
            }
        }
    }
    ligatures
}

/// So many letters as there is room for; nothing where one is not known.
fn letters(all: impl Iterator<Item = Option<char>>) -> Option<Letters> {
    let mut letters = Letters::default();
    let mut room = letters.iter_mut();
    for letter in all {
        *room.next()? = letter?;
    }
    Some(letters)
}

/// The characters of glyphs that take the place of another one (the same, type 1).
fn alternates(face: &Face<'_>, single: &BTreeMap<u16, char>) -> Vec<(u16, char)> {
    let mut alternates = Vec::new();
    let tables = substitutions(face).filter_map(Substitution::single);
    for table in tables.take(MOST_TABLES) {
        for (glyph, character) in single {
            let at = table.coverage().get(GlyphId(*glyph));
            let other = match table {
                SingleSubstitution::Format1 { delta, .. } => {
                    at.map(|_| glyph.wrapping_add_signed(delta))
                }
                SingleSubstitution::Format2 { substitutes, .. } => {
                    at.and_then(|at| substitutes.get(at)).map(|other| other.0)
                }
            };
            alternates.extend(other.map(|other| (other, *character)));
        }
    }
    alternates
}

/// A table by which glyphs take the place of others, of the types that are looked at.
enum Substitution<'f> {
    Single(SingleSubstitution<'f>),
    Ligature(LigatureSubstitution<'f>),
}

impl<'f> Substitution<'f> {
    fn single(self) -> Option<SingleSubstitution<'f>> {
        match self {
            Self::Single(table) => Some(table),
            Self::Ligature(_) => None,
        }
    }

    fn ligature(self) -> Option<LigatureSubstitution<'f>> {
        match self {
            Self::Ligature(table) => Some(table),
            Self::Single(_) => None,
        }
    }
}

fn substitutions<'f>(face: &Face<'f>) -> impl Iterator<Item = Substitution<'f>> {
    let lookups = face.tables().gsub.into_iter().flat_map(|gsub| gsub.lookups);
    let tables = lookups.flat_map(|lookup| lookup.subtables.into_iter());
    tables.filter_map(|table| match table {
        SubstitutionSubtable::Single(table) => Some(Substitution::Single(table)),
        SubstitutionSubtable::Ligature(table) => Some(Substitution::Ligature(table)),
        SubstitutionSubtable::Multiple(_)
        | SubstitutionSubtable::Alternate(_)
        | SubstitutionSubtable::Context(_)
        | SubstitutionSubtable::ChainContext(_)
        | SubstitutionSubtable::ReverseChainSingle(_) => None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What glyphs of the regular face read as, and of those that stand there in their place.
    fn read(text: &str) -> String {
        let fonts = crate::font::TextFonts::built_in().expect("the faces are there");
        let run = fonts.shape(text, crate::font::FaceStyle::Regular);
        run.glyphs().flat_map(|glyph| fonts.reading(glyph.face, glyph.id)).collect()
    }

    /// Letters that a face joins (`fi`), or draws otherwise before others (`Qu`), read as themselves.
    #[test]
    fn joined_and_other_forms_of_letters_read_as_letters() {
        for text in ["find offices flat Thank Quiet", "1 e & a", "R L r l \u{2013} 12\u{00BD}"] {
            assert_eq!(read(text), text);
        }
    }

    /// A table for every face, which says what the face itself does.
    #[test]
    fn the_tables_made_ahead_are_those_of_the_faces() {
        let fonts = crate::font::TextFonts::built_in().expect("the faces are there");
        for style in crate::font::FaceStyle::ALL {
            let Some(id) = fonts.chain(style).first() else { panic!("no face of {style:?}") };
            let face = Face::parse(fonts.data(*id), 0).expect("a face");
            let readings = Readings::of(&face);
            assert!(readings.characters.len() > 100);
            for glyph in 0..face.number_of_glyphs() {
                let own: String = readings.reading(glyph).collect();
                assert_eq!(fonts.reading(*id, glyph).collect::<String>(), own, "{glyph}");
                assert!(own.is_empty() || fonts.reads_as(*id, glyph, &own), "{glyph}");
                assert!(!fonts.reads_as(*id, glyph, &format!("{own}a")), "{glyph}");
                for letter in ('\0'..='\x7F').map(String::from) {
                    assert_eq!(fonts.reads_as(*id, glyph, &letter), letter == own, "{glyph}");
                }
            }
            // Of the characters a glyph stands for, the first in Unicode's order.
            for character in CHARACTERS {
                let Some(GlyphId(id @ 1..)) = face.glyph_index(character) else { continue };
                let reads: String = readings.reading(id).collect();
                let joined = JOINED.iter().any(|(_, letters)| *letters == reads);
                assert!(
                    joined || reads.chars().eq(reads.chars().next().filter(|c| *c <= character))
                );
            }
            let one = |c: char| face.glyph_index(c).map(|id| readings.reading(id.0).eq([c]));
            assert!(('!'..='~').all(|c| one(c) != Some(false)), "{style:?}");
        }
    }
}
