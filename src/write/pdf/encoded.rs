//! All that a drawing shows in glyphs, encoded once for all the places it stands at.

use super::faces::{FaceKey, Faces};
use super::glyphs::ShownGlyphs;
use super::object::put_code;
use super::usage::{RunKey, Usage};
use super::words::{self, EncodedRun};
use crate::font::{Fonts, Glyph, GlyphRun};
use crate::parallel::map_in_order;
use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

/// The faces of a document, and what it shows in them.
pub(super) struct Encoded {
    pub(super) faces: Faces,
    runs: HashMap<RunKey, EncodedRun>,
    signs: BTreeMap<Glyph, ShownGlyphs>,
}

impl Encoded {
    /// All that is used, in faces cut down to it.
    pub(super) fn new(usage: &Usage<'_>, faces: Faces, fonts: &Fonts) -> Self {
        let runs = map_in_order(usage.runs.iter().collect(), |(key, (run, _))| {
            (*key, words::encode(run, &faces))
        });
        let runs = runs.into_iter().collect();
        let signs =
            usage.signs.keys().filter_map(|sign| Some((*sign, encode(*sign, &faces, fonts)?)));
        let signs = signs.collect();
        Self { faces, runs, signs }
    }

    /// A run of words of the drawing.
    pub(super) fn run(&self, run: &Arc<GlyphRun>) -> Option<&EncodedRun> {
        self.runs.get(&RunKey::of(run))
    }

    /// A sign of music; nothing where the font lacks it.
    pub(super) fn sign(&self, sign: Glyph) -> Option<&ShownGlyphs> {
        self.signs.get(&sign)
    }
}

fn encode(sign: Glyph, faces: &Faces, fonts: &Fonts) -> Option<ShownGlyphs> {
    let coded = faces.get(FaceKey::Music)?.glyph(fonts.music.glyph_id(sign)?)?;
    let mut glyphs = ShownGlyphs { array: b"<".to_vec(), advance: coded.width, several: false };
    put_code(&mut glyphs.array, coded.code);
    glyphs.array.push(b'>');
    Some(glyphs)
}
