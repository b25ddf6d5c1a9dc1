//! Dynamics and hairpins, in one row under the staff.

use super::canvas::Canvas;
use super::context::Context;
use super::curve;
use super::system::{PlacedBar, staff_edges};
use crate::drawing::{Kind, Mark, Shape};
use crate::font::Glyph;
use crate::score::block::{Block, DynamicKind};
use crate::source::Span;
use kurbo::Point;

/// Half the opening of a hairpin (Gould gives an opening of one to one and a half spaces).
const HALF_OPENING: f64 = 0.55;

/// Half the height of the tallest dynamic letters.
const LETTER_HALF: f64 = 0.8;
/// How far slanted letters lean over their advance.
const LETTER_OVERHANG: f64 = 0.5;

/// Between a hairpin and the letters at its ends.
const PIN_GAP: f64 = 0.65;

/// One thing in the row.
enum Piece {
    Letters { x: f64, glyphs: Vec<Glyph>, span: Span },
    Hairpin { from: f64, to: f64, louder: bool, span: Span },
}

/// Draws the row.
pub fn draw(canvas: &mut Canvas<'_>, context: &Context<'_>, block: &Block, bars: &[PlacedBar<'_>]) {
    let pieces = pieces(context, bars);
    let staff = staff_edges(block.settings.staff).1;
    let lowest = pieces
        .iter()
        .map(|piece| {
            let (x0, x1) = extent(context, piece);
            canvas.skyline.bottom(x0 - LETTER_OVERHANG, x1 + LETTER_OVERHANG, staff)
        })
        .fold(staff, f64::max);
    let middle = lowest + context.style.row_gap + LETTER_HALF;
    for piece in pieces {
        match piece {
            Piece::Letters { x, ref glyphs, span } => {
                let mut left = x - width(context, glyphs) / 2.0;
                for glyph in glyphs {
                    let mark = context.glyph(Kind::Dynamic, *glyph, left, middle + 0.5);
                    canvas.push_at(mark, context.place(span));
                    left += context.fonts.music.advance(*glyph);
                }
            }
            Piece::Hairpin { from, to, louder, span } => {
                let thickness = context.fonts.music.defaults().hairpin_thickness;
                let (closed, open) = if louder { (from, to) } else { (to, from) };
                for side in [-1.0, 1.0] {
                    let path = curve::stroke(
                        Point::new(closed, middle),
                        Point::new(open, middle + side * HALF_OPENING),
                        thickness,
                    );
                    let mark = Mark::new(Kind::Hairpin, Shape::Path(path));
                    canvas.push_at(mark, context.place(span));
                }
            }
        }
    }
}

fn pieces(context: &Context<'_>, bars: &[PlacedBar<'_>]) -> Vec<Piece> {
    let gap = PIN_GAP;
    let mut pieces = Vec::new();
    let mut open: Option<(f64, bool, Span)> = None;
    for bar in bars {
        for dynamic in &bar.bar.dynamics {
            let x = bar.x(dynamic.at);
            let left = match &dynamic.kind {
                DynamicKind::Letters(letters) => x - width(context, &glyphs(letters)) / 2.0 - gap,
                _ => x - gap,
            };
            if let Some((from, louder, span)) = open.take()
                && left > from
            {
                pieces.push(Piece::Hairpin { from, to: left, louder, span });
            }
            match &dynamic.kind {
                DynamicKind::Letters(letters) => {
                    pieces.push(Piece::Letters { x, glyphs: glyphs(letters), span: dynamic.span });
                }
                DynamicKind::Louder | DynamicKind::Softer => {
                    let louder = dynamic.kind == DynamicKind::Louder;
                    open = Some((after(context, &pieces, x), louder, dynamic.span));
                }
                DynamicKind::End => {}
            }
        }
    }
    if let (Some((from, louder, span)), Some(last)) = (open, bars.last()) {
        let to = last.right - last.measured.closing - gap;
        if to > from {
            pieces.push(Piece::Hairpin { from, to, louder, span });
        }
    }
    pieces
}

/// A hairpin that begins where letters stand begins to their right.
fn after(context: &Context<'_>, pieces: &[Piece], x: f64) -> f64 {
    match pieces.last() {
        Some(piece @ Piece::Letters { .. }) => {
            let end = extent(context, piece).1 + PIN_GAP;
            x.max(end)
        }
        _ => x - 0.3,
    }
}

fn extent(context: &Context<'_>, piece: &Piece) -> (f64, f64) {
    match piece {
        Piece::Letters { x, glyphs, .. } => {
            let half = width(context, glyphs) / 2.0;
            (x - half, x + half)
        }
        Piece::Hairpin { from, to, .. } => (*from, *to),
    }
}

fn width(context: &Context<'_>, glyphs: &[Glyph]) -> f64 {
    glyphs.iter().map(|g| context.fonts.music.advance(*g)).sum()
}

/// The glyphs of dynamic letters.
fn glyphs(letters: &str) -> Vec<Glyph> {
    letters
        .chars()
        .filter_map(|c| match c {
            'p' => Some(Glyph::DYNAMIC_PIANO),
            'm' => Some(Glyph::DYNAMIC_MEZZO),
            'f' => Some(Glyph::DYNAMIC_FORTE),
            'r' => Some(Glyph::DYNAMIC_RINFORZANDO),
            's' => Some(Glyph::DYNAMIC_SFORZANDO),
            'z' => Some(Glyph::DYNAMIC_Z),
            'n' => Some(Glyph::DYNAMIC_NIENTE),
            _ => None,
        })
        .collect()
}
