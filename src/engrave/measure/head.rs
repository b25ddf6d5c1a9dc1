//! The heads of a chord and the brackets of its ghost notes.

use super::glyphs::head_glyph;
use crate::engrave::engraver::Engraver;
use crate::engrave::notate::value::Value;
use crate::engrave::staff::{Stems, y_of};
use crate::font::Glyph;
use crate::score::kit::{Head, Instrument, Limb};
use crate::score::settings::Staff;
use crate::score::{GraceDrum, Hit, PlayerPart};
use crate::source::Span;

/// Steps between a ghost note's head and those its brackets stand outside of (a bracket is two
/// spaces high; no source).
const BRACKET_REACH: i32 = 4;
/// How far a head's middle lies from its column's that stands on the other side of the stem, at
/// least (less than any head's width; no source).
const DISPLACED: f64 = 0.2;

/// One head.
#[derive(Clone, Debug)]
pub struct HeadShape {
    /// Its glyph.
    pub glyph: Glyph,
    /// x of its origin.
    pub x: f64,
    /// Steps up from the middle line.
    pub position: i32,
    /// In brackets.
    pub ghost: bool,
    /// Where it is written, in its own row.
    pub span: Span,
}

/// The head of a grace note.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct GraceHead {
    /// Its glyph, of a full-size note.
    pub glyph: Glyph,
    /// Steps up from the middle line.
    pub position: i32,
}

impl HeadShape {
    /// y of its centre.
    pub fn y(&self) -> f64 {
        y_of(self.position)
    }
}

/// The heads of a hit, lowest first. Instruments that look alike share one.
pub fn heads(
    engraver: &Engraver<'_>,
    part: &PlayerPart,
    hit: &Hit,
    value: Value,
    stems: Stems,
) -> Vec<HeadShape> {
    let mut heads: Vec<HeadShape> = Vec::with_capacity(hit.strikes.len());
    for strike in &hit.strikes {
        let Some(instrument) = part.kit.get(strike.instrument) else { continue };
        let position = position(instrument, part.settings.staff);
        let glyph = head_glyph(instrument.head, value);
        if heads.iter().any(|h| h.position == position && h.glyph == glyph) {
            continue;
        }
        let bounds = engraver.fonts.music.bounds(glyph);
        let x = -(bounds.x0 + bounds.x1) / 2.0;
        heads.push(HeadShape { glyph, x, position, ghost: strike.ghost, span: strike.span });
    }
    if hit.is_slash() {
        let glyph = Glyph::NOTEHEAD_SLASH_VERTICAL_ENDS;
        let bounds = engraver.fonts.music.bounds(glyph);
        let x = -(bounds.x0 + bounds.x1) / 2.0;
        heads.push(HeadShape { glyph, x, position: 0, ghost: false, span: hit.span });
    }
    heads.sort_by_key(|h| h.position);
    displace_seconds(engraver, &mut heads, stems);
    heads
}

fn position(instrument: &Instrument, staff: Staff) -> i32 {
    match staff {
        Staff::FiveLines => instrument.position,
        Staff::OneLine => instrument.one_line,
        Staff::NoLine => 0,
    }
}

/// The heads of a hit's grace notes.
pub fn grace_heads(part: &PlayerPart, hit: &Hit) -> Vec<GraceHead> {
    let head = |drum: &GraceDrum| match drum {
        GraceDrum::Same => {
            GraceHead { glyph: Glyph::NOTEHEAD_BLACK, position: grace_position(part, hit) }
        }
        GraceDrum::Other(id) => {
            let instrument = part.kit.get(*id);
            let glyph = instrument.map(|own| head_glyph(own.head, Value { halvings: 2, dots: 0 }));
            GraceHead {
                glyph: glyph.unwrap_or(Glyph::NOTEHEAD_BLACK),
                position: instrument.map_or(0, |own| position(own, part.settings.staff)),
            }
        }
    };
    hit.grace.drums().iter().map(head).collect()
}

/// Where a hit's grace notes stand that are on its own drums: hands before feet, drums before cymbals,
/// since that is where the small notes are played; of several the first.
fn grace_position(part: &PlayerPart, hit: &Hit) -> i32 {
    let mut best = None;
    for strike in &hit.strikes {
        let Some(instrument) = part.kit.get(strike.instrument) else { continue };
        let rank = (instrument.limb == Limb::Hands, instrument.head == Head::Normal);
        if best.is_none_or(|(best, _)| rank > best) {
            best = Some((rank, position(instrument, part.settings.staff)));
        }
    }
    best.map_or(0, |(_, position)| position)
}

/// Whether a head stands on the other side of the stem.
pub fn displaced(engraver: &Engraver<'_>, head: &HeadShape) -> bool {
    let bounds = engraver.fonts.music.bounds(head.glyph);
    (head.x + (bounds.x0 + bounds.x1) / 2.0).abs() > DISPLACED
}

/// Heads a step apart stand on both sides of the stem (Gould, *Behind Bars*, "Seconds", from
/// memory): the lower one left, the upper one right, starting from the foot of the stem.
fn displace_seconds(engraver: &Engraver<'_>, heads: &mut [HeadShape], stems: Stems) {
    let music = &engraver.fonts.music;
    let thickness = music.defaults().stem_thickness;
    let mut last: Option<(i32, bool)> = None;
    let count = heads.len();
    for nth in 0..count {
        let index = if stems == Stems::Down { count - 1 - nth } else { nth };
        let Some(head) = heads.get_mut(index) else { continue };
        let close =
            last.is_some_and(|(position, moved)| !moved && (position - head.position).abs() <= 1);
        if close {
            let width = music.bounds(head.glyph).width() - thickness;
            head.x -= stems.sign() * width;
        }
        last = Some((head.position, close));
    }
}

/// Left and right edges of the ink of a ghost head's brackets, which stand outside every head of
/// the chord that is near enough to meet them. Nothing for a head without brackets.
pub fn ghost_edges(
    engraver: &Engraver<'_>,
    heads: &[HeadShape],
    head: &HeadShape,
) -> Option<(f64, f64)> {
    if !head.ghost {
        return None;
    }
    let music = &engraver.fonts.music;
    let gap = engraver.style.bracket_gap;
    let near = heads.iter().filter(|h| (h.position - head.position).abs() <= BRACKET_REACH);
    let (left, right) = near.fold((f64::INFINITY, f64::NEG_INFINITY), |(left, right), h| {
        let bounds = music.bounds(h.glyph);
        (left.min(h.x + bounds.x0), right.max(h.x + bounds.x1))
    });
    Some((
        left - gap - music.bounds(Glyph::NOTEHEAD_PARENTHESIS_LEFT).width(),
        right + gap + music.bounds(Glyph::NOTEHEAD_PARENTHESIS_RIGHT).width(),
    ))
}
