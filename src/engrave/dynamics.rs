//! Dynamics and hairpins, in one row under the staff.

use super::canvas::Canvas;
use super::curve;
use super::engraver::Engraver;
use super::system::{PlacedBar, staff_edges};
use crate::drawing::{Kind, Mark, Shape};
use crate::font::Glyph;
use crate::score::{Block, DynamicKind};
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
enum DynamicShape {
    Letters {
        x: f64,
        glyphs: Vec<Glyph>,
        span: Span,
    },
    /// How far it is open at its ends, 0 to 1.
    Hairpin {
        from: f64,
        to: f64,
        open: (f64, f64),
        span: Span,
    },
}

/// How far a hairpin is open where a line ends and where it goes on (Gould, *Behind Bars*,
/// "Hairpins", from memory: it is seen to be a part, neither closed nor fully open).
const OPEN_AT_LINE_END: (f64, f64) = (0.7, 0.3);

/// Draws the row.
pub fn draw(
    canvas: &mut Canvas<'_>,
    engraver: &Engraver<'_>,
    block: &Block,
    bars: &[PlacedBar<'_>],
) {
    let pieces = pieces(engraver, block, bars);
    let staff = staff_edges(block.settings.staff).1;
    let lowest = pieces
        .iter()
        .map(|piece| {
            let (x0, x1) = extent(engraver, piece);
            canvas.skyline.bottom(x0 - LETTER_OVERHANG, x1 + LETTER_OVERHANG, staff)
        })
        .fold(staff, f64::max);
    let middle = lowest + engraver.style.row_gap + LETTER_HALF;
    for piece in pieces {
        match piece {
            DynamicShape::Letters { x, ref glyphs, span } => {
                let mut left = x - width(engraver, glyphs) / 2.0;
                for glyph in glyphs {
                    let mark = engraver.glyph(Kind::Dynamic, *glyph, left, middle + 0.5);
                    canvas.push_at(mark, engraver.place(span));
                    left += engraver.fonts.music.advance(*glyph);
                }
            }
            DynamicShape::Hairpin { from, to, open, span } => {
                let thickness = engraver.fonts.music.defaults().hairpin_thickness;
                for side in [-HALF_OPENING, HALF_OPENING] {
                    let path = curve::stroke(
                        Point::new(from, middle + side * open.0),
                        Point::new(to, middle + side * open.1),
                        thickness,
                    );
                    let mark = Mark::new(Kind::Hairpin, Shape::Path(path));
                    canvas.push_at(mark, engraver.place(span));
                }
            }
        }
    }
}

/// A hairpin that still has to end.
struct Begun {
    from: f64,
    louder: bool,
    /// It comes from the line before.
    goes_on: bool,
    span: Span,
}

impl Begun {
    /// How far it is open at its ends on a line that it leaves, or not.
    fn open(&self, leaves: bool) -> (f64, f64) {
        let (far, near) = OPEN_AT_LINE_END;
        match self.louder {
            true => (if self.goes_on { near } else { 0.0 }, if leaves { far } else { 1.0 }),
            false => (if self.goes_on { far } else { 1.0 }, if leaves { near } else { 0.0 }),
        }
    }
}

/// The hairpin that comes from the lines before.
fn from_before(block: &Block, bars: &[PlacedBar<'_>]) -> Option<Begun> {
    let first = bars.first()?;
    let before = block.bars.get(..first.index)?;
    let last = before.iter().rev().find_map(|bar| bar.dynamics.last())?;
    let louder = match last.kind {
        DynamicKind::Louder => true,
        DynamicKind::Softer => false,
        _ => return None,
    };
    let from = first.columns.first().map_or(first.left, |x| x - 0.5);
    Some(Begun { from, louder, goes_on: true, span: last.span })
}

/// Whether a dynamic in a later line ends a hairpin.
fn ends_later(block: &Block, bars: &[PlacedBar<'_>]) -> bool {
    let after = bars.last().and_then(|bar| block.bars.get(bar.index + 1..)).unwrap_or(&[]);
    after.iter().any(|bar| !bar.dynamics.is_empty())
}

fn pieces(engraver: &Engraver<'_>, block: &Block, bars: &[PlacedBar<'_>]) -> Vec<DynamicShape> {
    let gap = PIN_GAP;
    let mut pieces = Vec::new();
    let mut begun = from_before(block, bars);
    for bar in bars {
        for dynamic in &bar.bar.dynamics {
            let x = bar.x(dynamic.at);
            let left = match &dynamic.kind {
                DynamicKind::Letters(letters) => x - width(engraver, &glyphs(letters)) / 2.0 - gap,
                _ => x - gap,
            };
            if let Some(pin) = begun.take()
                && left > pin.from
            {
                let open = pin.open(false);
                pieces.push(DynamicShape::Hairpin {
                    from: pin.from,
                    to: left,
                    open,
                    span: pin.span,
                });
            }
            match &dynamic.kind {
                DynamicKind::Letters(letters) => {
                    pieces.push(DynamicShape::Letters {
                        x,
                        glyphs: glyphs(letters),
                        span: dynamic.span,
                    });
                }
                DynamicKind::Louder | DynamicKind::Softer => {
                    let louder = dynamic.kind == DynamicKind::Louder;
                    let from = after(engraver, &pieces, x);
                    begun = Some(Begun { from, louder, goes_on: false, span: dynamic.span });
                }
                DynamicKind::End => {}
            }
        }
    }
    if let (Some(pin), Some(last)) = (begun, bars.last()) {
        let to = last.right - last.measured.closing - gap;
        if to > pin.from {
            let open = pin.open(ends_later(block, bars));
            pieces.push(DynamicShape::Hairpin { from: pin.from, to, open, span: pin.span });
        }
    }
    pieces
}

/// A hairpin that begins where letters stand begins to their right.
fn after(engraver: &Engraver<'_>, pieces: &[DynamicShape], x: f64) -> f64 {
    match pieces.last() {
        Some(piece @ DynamicShape::Letters { .. }) => {
            let end = extent(engraver, piece).1 + PIN_GAP;
            x.max(end)
        }
        _ => x - 0.3,
    }
}

fn extent(engraver: &Engraver<'_>, piece: &DynamicShape) -> (f64, f64) {
    match piece {
        DynamicShape::Letters { x, glyphs, .. } => {
            let half = width(engraver, glyphs) / 2.0;
            (x - half, x + half)
        }
        DynamicShape::Hairpin { from, to, .. } => (*from, *to),
    }
}

fn width(engraver: &Engraver<'_>, glyphs: &[Glyph]) -> f64 {
    glyphs.iter().map(|g| engraver.fonts.music.advance(*g)).sum()
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
