//! What is known of a chord before it has a place.
//!
//! x counts from the centre of the column, y from the middle line downwards.

use super::glyphs::stroke_glyph;
use super::head::{GraceHead, HeadShape};
use super::signs::ChordSign;
use crate::engrave::notate::value::Value;
use crate::engrave::staff::Stems;
use crate::font::Glyph;
use crate::source::Span;

/// How many steps a beat slash stands over the middle line where the other voice has notes under it (no
/// source).
const SLASH_UP: i32 = 2;

/// A chord.
#[derive(Clone, Debug)]
pub struct ChordShape {
    /// Its heads, lowest first.
    pub heads: Vec<HeadShape>,
    /// Which way its stem points.
    pub stems: Stems,
    /// Left edge of the stem.
    pub stem_x: f64,
    /// y where the stem meets the head at its foot.
    pub stem_foot: f64,
    /// y of the free end of the stem, before any beam moves it.
    pub stem_tip: f64,
    /// Its written value.
    pub value: Value,
    /// Origins of its dots.
    pub dots: Vec<(f64, f64)>,
    /// Grace notes before it, in order.
    pub grace: Vec<GraceHead>,
    /// Room between the grace notes and the chord for those of the other voice.
    pub grace_room: f64,
    /// How far it was moved sideways to make room for the other voice.
    pub shift: f64,
    /// Strokes through the stem.
    pub strokes: u8,
    /// Buzzed.
    pub buzz: bool,
    /// The sign on its stem that is no stroke.
    pub on_stem: Option<Glyph>,
    /// Signs from the note outwards.
    pub signs: Vec<ChordSign>,
    /// How many strokes its roll has, printed outside its signs.
    pub roll: Option<u8>,
    /// It was not heard for certain: a question mark outside all signs.
    pub unclear: bool,
    /// It is left to ring: a short open tie.
    pub rings: bool,
    /// It is a beat slash, which has no stem.
    pub slash: bool,
    /// Ink to the left of the column's centre, grace notes not counted; positive.
    pub left: f64,
    /// Ink to the right of the column's centre.
    pub right: f64,
    /// Where it is written.
    pub span: Span,
}

impl ChordShape {
    /// What stands on its stem, and how many strokes it is as tall as: strokes and the buzz z, else the
    /// sign of its instrument.
    pub fn stem_mark(&self) -> Option<(Glyph, u8)> {
        let strokes =
            stroke_glyph(self.buzz, self.strokes).map(|glyph| (glyph, self.strokes.max(1)));
        strokes.or(self.on_stem.map(|glyph| (glyph, 1)))
    }

    /// Whether a head is in brackets.
    pub fn has_ghost(&self) -> bool {
        self.heads.iter().any(|head| head.ghost)
    }

    /// Whether the head nearest the free end of the stem is in brackets.
    pub fn has_ghost_at_stem(&self) -> bool {
        self.heads.iter().any(|head| head.ghost && head.position == self.outer())
    }

    /// Position of the highest head.
    pub fn highest(&self) -> i32 {
        self.heads.iter().map(|h| h.position).max().unwrap_or(0)
    }

    /// Position of the lowest head.
    pub fn lowest(&self) -> i32 {
        self.heads.iter().map(|h| h.position).min().unwrap_or(0)
    }

    /// Position of the head nearest the free end of the stem.
    pub fn outer(&self) -> i32 {
        match self.stems {
            Stems::Up => self.highest(),
            Stems::Down => self.lowest(),
        }
    }

    /// Moves a beat slash up, where the other voice has notes under it.
    pub fn raise_slash(&mut self) {
        let up = f64::from(SLASH_UP) / 2.0;
        self.heads.iter_mut().for_each(|head| head.position += SLASH_UP);
        self.stem_foot -= up;
        self.stem_tip -= up;
    }

    /// Moves everything sideways, as a voice makes room for the other.
    pub fn shift(&mut self, dx: f64) {
        for head in &mut self.heads {
            head.x += dx;
        }
        for dot in &mut self.dots {
            dot.0 += dx;
        }
        self.shift += dx;
        self.stem_x += dx;
        self.left -= dx;
        self.right += dx;
    }
}
