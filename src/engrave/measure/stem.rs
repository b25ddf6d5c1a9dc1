//! Where a chord's stem begins, and how long it is when it stands alone.

use super::chord::ChordShape;
use super::glyphs::flag_glyph;
use super::head::{HeadShape, displaced};
use crate::engrave::engraver::Engraver;
use crate::engrave::staff::{Stems, outer_line};
use crate::font::Anchor;
use crate::score::settings::Staff;
use kurbo::Point;

/// Free stem between a flag and the head, dot or head beside it (no source).
const FLAG_CLEAR: f64 = 0.8;
/// How much of a flag's height strokes through the stem keep clear of (no source).
const FLAG_SHARE: f64 = 0.8;
/// Stem beyond strokes where there is no flag, at least (no source).
const BEYOND_STROKES: f64 = 0.75;

/// The left edge of a chord's stem and the y of its foot.
pub fn foot(engraver: &Engraver<'_>, heads: &[HeadShape], stems: Stems) -> (f64, f64) {
    let music = &engraver.fonts.music;
    let edge = |head: &HeadShape| {
        let bounds = music.bounds(head.glyph);
        let (anchor, corner) = match stems {
            Stems::Up => (Anchor::StemUpSE, bounds.x1),
            Stems::Down => (Anchor::StemDownNW, bounds.x0),
        };
        music.anchor(head.glyph, anchor).unwrap_or(Point::new(corner, 0.0))
    };
    let centred = heads.iter().filter(|h| !displaced(engraver, h)).map(|h| h.x + edge(h).x);
    let (x, head) = match stems {
        Stems::Up => {
            let thickness = music.defaults().stem_thickness;
            (centred.fold(f64::NEG_INFINITY, f64::max) - thickness, heads.first())
        }
        Stems::Down => (centred.fold(f64::INFINITY, f64::min), heads.last()),
    };
    let x = if x.is_finite() { x } else { 0.0 };
    (x, head.map_or(0.0, |h| h.y() + edge(h).y))
}

/// The length a stem has for the place of its outermost head alone.
pub fn shortened(engraver: &Engraver<'_>, chord: &ChordShape, staff: Staff) -> f64 {
    let style = engraver.style;
    let beyond = match chord.stems {
        Stems::Up => chord.outer() - outer_line(staff),
        Stems::Down => -chord.outer() - outer_line(staff),
    };
    style.stem - style.stem_shortening * f64::from(beyond.max(0))
}

/// How long a chord's stem is beyond its outermost head when it stands alone.
pub fn length(engraver: &Engraver<'_>, chord: &ChordShape, staff: Staff) -> f64 {
    let style = engraver.style;
    let extra_flags = chord.value.flags().saturating_sub(2) as f64 * style.stem_per_extra_beam;
    let mut length = shortened(engraver, chord, staff).max(style.stem_min) + extra_flags;
    if let Some((flag, _)) = flag_glyph(chord.value, chord.stems) {
        // A flag must not reach ink on its side of the stem: heads under a stem that points down,
        // dots and displaced heads beside one that points up.
        let depth = engraver.fonts.music.bounds(flag).height();
        let beside = chord.stems == Stems::Down
            || !chord.dots.is_empty()
            || chord.heads.iter().any(|head| displaced(engraver, head));
        if beside {
            length = length.max(depth + FLAG_CLEAR);
        }
    }
    if let Some((_, strokes)) = chord.stem_mark() {
        let strokes = f64::from(strokes);
        let beyond = flag_depth(engraver, chord).max(BEYOND_STROKES);
        length = length.max(style.stem_under_beam + strokes * style.stroke_pitch + beyond);
    }
    length
}

/// How far an unbeamed chord's flag keeps strokes away from the free end of the stem.
pub fn flag_depth(engraver: &Engraver<'_>, chord: &ChordShape) -> f64 {
    flag_glyph(chord.value, chord.stems)
        .map_or(0.0, |(flag, _)| engraver.fonts.music.bounds(flag).height() * FLAG_SHARE)
}
