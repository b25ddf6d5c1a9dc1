//! A hit to the shape of a chord.

use super::chord::ChordShape;
use super::head::{HeadShape, ghost_edges, grace_heads, heads};
use super::{signs, stem};
use crate::engrave::engraver::Engraver;
use crate::engrave::notate::value::Value;
use crate::engrave::staff::{Stems, outer_line, y_of};
use crate::font::Glyph;
use crate::score::settings::Staff;
use crate::score::{Hit, PlayerPart};

/// Shapes a hit. `continued` notes carry no signs, no grace notes and no brackets.
pub fn shape(
    engraver: &Engraver<'_>,
    part: &PlayerPart,
    hit: &Hit,
    value: Value,
    stems: Stems,
    continued: bool,
) -> ChordShape {
    let staff = part.settings.staff;
    let mut heads = heads(engraver, part, hit, value, stems);
    heads.iter_mut().for_each(|head| head.ghost &= !continued);
    let (stem_x, stem_foot) = stem::foot(engraver, &heads, stems);
    let (left, mut right) = ink(engraver, &heads, staff);
    let dots = dots(&heads, value, right + engraver.style.dot_gap, staff);
    if let Some((x, _)) = dots.last() {
        right = x + engraver.fonts.music.bounds(Glyph::AUGMENTATION_DOT).x1;
    }
    let mut chord = ChordShape {
        heads,
        stems,
        stem_x,
        stem_foot,
        stem_tip: 0.0,
        value,
        dots,
        grace: if continued { Vec::new() } else { grace_heads(part, hit) },
        grace_room: 0.0,
        shift: 0.0,
        strokes: hit.strokes,
        buzz: hit.buzz,
        on_stem: if continued { None } else { signs::on_stem(part, hit) },
        signs: if continued { Vec::new() } else { signs::signs(part, hit) },
        roll: hit.touch.roll.filter(|_| !continued),
        unclear: hit.touch.unclear && !continued,
        rings: hit.touch.rings,
        slash: hit.is_slash(),
        left,
        right,
        span: hit.span,
    };
    let stem = if chord.slash { 0.0 } else { stem::length(engraver, &chord, staff) };
    chord.stem_tip = y_of(chord.outer()) + stems.sign() * stem;
    chord
}

/// How far heads, their brackets and their ledger lines reach to the left and to the right.
fn ink(engraver: &Engraver<'_>, heads: &[HeadShape], staff: Staff) -> (f64, f64) {
    let music = &engraver.fonts.music;
    let (mut left, mut right) = (0.0_f64, 0.0_f64);
    for head in heads {
        let bounds = music.bounds(head.glyph);
        let (open, close) = ghost_edges(engraver, heads, head)
            .map_or((0.0, 0.0), |(open, close)| {
                (head.x + bounds.x0 - open, close - head.x - bounds.x1)
            });
        let on_ledger = staff == Staff::FiveLines && head.position.abs() > outer_line(staff) + 1;
        let ledger = if on_ledger { music.defaults().leger_line_extension } else { 0.0 };
        left = left.max(-(head.x + bounds.x0 - open.max(ledger)));
        right = right.max(head.x + bounds.x1 + close.max(ledger));
    }
    (left, right)
}

/// Dots stand in spaces: a head on a line has its dot in the space above (Gould, *Behind Bars*,
/// "Dots", from memory).
fn dots(heads: &[HeadShape], value: Value, x: f64, staff: Staff) -> Vec<(f64, f64)> {
    if value.dots == 0 {
        return Vec::new();
    }
    let mut positions: Vec<i32> = heads
        .iter()
        .map(|h| match staff {
            Staff::FiveLines => h.position + i32::from(h.position % 2 == 0),
            Staff::OneLine => h.position + i32::from(h.position == 0),
            Staff::NoLine => h.position,
        })
        .collect();
    positions.sort_unstable();
    positions.dedup();
    positions.into_iter().map(|position| (x, y_of(position))).collect()
}
