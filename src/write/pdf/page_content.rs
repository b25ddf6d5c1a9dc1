//! What a page or a part of one comes to before it is known which glyphs the document has: its bytes, with
//! glyphs under their numbers in the font files, and what it shows.

use super::faces::Faces;
use super::glyphs::GlyphNumber;
use super::object::put_code;
use crate::font::{Glyph, GlyphRun};
use std::collections::{BTreeSet, HashMap};
use std::sync::Arc;

/// The content of a page, or of a part of one that stands on many.
#[derive(Clone, Debug, Default)]
pub(super) struct PageContent {
    pub(super) bytes: Vec<u8>,
    pub(super) numbers: Vec<GlyphNumber>,
    pub(super) shown: Shown,
}

/// The words and the signs a content shows.
#[derive(Clone, Debug, Default)]
pub(super) struct Shown {
    /// Runs by where they lie in memory: those that are alike are mostly one.
    runs: HashMap<usize, Arc<GlyphRun>>,
    pub(super) signs: BTreeSet<Glyph>,
}

impl Shown {
    /// Adds a run.
    pub(super) fn add_run(&mut self, run: &Arc<GlyphRun>) {
        self.runs.entry(Arc::as_ptr(run) as usize).or_insert_with(|| run.clone());
    }

    /// Adds all that another content shows.
    pub(super) fn add(&mut self, other: &Self) {
        other.runs.values().for_each(|run| self.add_run(run));
        self.signs.extend(&other.signs);
    }

    /// The runs, in no order.
    pub(super) fn runs(&self) -> impl Iterator<Item = &Arc<GlyphRun>> {
        self.runs.values()
    }
}

impl PageContent {
    /// The bytes with glyphs under their numbers in the document's faces.
    pub(super) fn numbered(&self, faces: &Faces) -> Vec<u8> {
        let mut bytes = self.bytes.clone();
        let mut code = Vec::with_capacity(4);
        for number in &self.numbers {
            let at = number.at as usize;
            let Some(digits) = bytes.get_mut(at..at + 4) else { continue };
            let glyph = digits.iter().fold(0_u16, |glyph, digit| glyph << 4 | value(*digit));
            code.clear();
            put_code(&mut code, faces.code(number.face, glyph));
            digits.copy_from_slice(&code);
        }
        bytes
    }
}

/// The value of a hexadecimal digit.
fn value(digit: u8) -> u16 {
    u16::from(if digit <= b'9' { digit.wrapping_sub(b'0') } else { digit.wrapping_sub(b'A' - 10) })
}
