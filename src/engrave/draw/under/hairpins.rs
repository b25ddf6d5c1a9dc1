//! The dynamics of a line, its hairpins and its words with dashes at their places.

use crate::engrave::draw::carried::Carried;
use crate::engrave::draw::placed_bar::PlacedBar;
use crate::engrave::engraver::Engraver;
use crate::engrave::measure::dashes::{AFTER_DASHES, BEFORE_DASHES};
use crate::engrave::measure::dynamics::{LEAST_PIN, PIN_GAP, glyphs, gradual_words, reach, width};
use crate::font::{Glyph, GlyphRun};
use crate::score::Dynamic;
use crate::score::DynamicKind;
use crate::score::dynamic::GradualSign;
use crate::source::Span;
use std::sync::Arc;

/// How far left of its note's column a hairpin begins (no source).
const PIN_LEAN: f64 = 0.3;
/// How far left of a line's first column a hairpin begins that comes from the line before (no
/// source).
const LINE_LEAN: f64 = 0.5;
/// How far a hairpin is open where a line ends and where it goes on (Gould, *Behind Bars*,
/// "Hairpins", from memory: it is seen to be a part, neither closed nor fully open).
const OPEN_AT_LINE_END: (f64, f64) = (0.7, 0.3);

/// A dynamic in its row.
pub enum DynamicShape {
    /// Letters.
    Letters {
        /// Their middle.
        x: f64,
        /// Their glyphs.
        glyphs: Vec<Glyph>,
        /// Where they are written.
        span: Span,
    },
    /// A hairpin.
    Hairpin {
        /// Its left end.
        from: f64,
        /// Its right end.
        to: f64,
        /// How far it is open at its ends, 0 to 1.
        open: (f64, f64),
        /// Where it is written.
        span: Span,
    },
    /// Words with dashes after them.
    Gradual {
        /// The left end of the words.
        from: f64,
        /// The words.
        run: Arc<GlyphRun>,
        /// Where the dashes begin.
        dashes: f64,
        /// Their right end; before their left one where there are none.
        to: f64,
        /// Where it is written.
        span: Span,
    },
}

impl DynamicShape {
    /// Its left and its right end.
    pub fn extent(&self, engraver: &Engraver<'_>) -> (f64, f64) {
        match self {
            Self::Letters { x, glyphs, .. } => {
                let half = width(engraver, glyphs) / 2.0;
                (x - half, x + half)
            }
            Self::Hairpin { from, to, .. } => (*from, *to),
            Self::Gradual { from, dashes, to, .. } => (*from, to.max(dashes - BEFORE_DASHES)),
        }
    }

    /// The left and the right end of its ink.
    pub fn ink(&self, engraver: &Engraver<'_>) -> (f64, f64) {
        match self {
            Self::Letters { x, glyphs, .. } => {
                let (left, right) = reach(engraver, glyphs);
                (x - left, x + right)
            }
            Self::Hairpin { from, to, .. } => (*from, *to),
            Self::Gradual { from, dashes, to, .. } => (*from, to.max(dashes - BEFORE_DASHES)),
        }
    }
}

/// A hairpin, or words with dashes, that still has to end.
struct Begun {
    from: f64,
    louder: bool,
    sign: GradualSign,
    /// It comes from the line before.
    goes_on: bool,
    span: Span,
}

impl Begun {
    /// The hairpin, or the words with their dashes, up to an x.
    fn up_to(&self, engraver: &Engraver<'_>, to: f64, leaves: bool) -> DynamicShape {
        let (from, span) = (self.from, self.span);
        match self.sign {
            GradualSign::Hairpin => {
                DynamicShape::Hairpin { from, to, open: self.open(leaves), span }
            }
            GradualSign::Words => {
                let (run, width) = gradual_words(engraver, self.louder, self.goes_on);
                let (dashes, to) = (from + width + BEFORE_DASHES, to - AFTER_DASHES);
                DynamicShape::Gradual { from, run, dashes, to, span }
            }
        }
    }

    /// Whether it stands on a line where it ends at an x: words that come from the line before need room.
    fn has_room(&self, engraver: &Engraver<'_>, to: f64) -> bool {
        let words = self.goes_on && self.sign == GradualSign::Words;
        let width = if words { gradual_words(engraver, self.louder, true).1 } else { 0.0 };
        to > self.from + width
    }

    /// How far it is open at its ends on a line that it leaves, or not.
    fn open(&self, leaves: bool) -> (f64, f64) {
        let (far, near) = OPEN_AT_LINE_END;
        match self.louder {
            true => (if self.goes_on { near } else { 0.0 }, if leaves { far } else { 1.0 }),
            false => (if self.goes_on { far } else { 1.0 }, if leaves { near } else { 0.0 }),
        }
    }
}

/// Whether a gradual change is louder, and how it is printed; nothing for what is none.
fn gradual(kind: DynamicKind) -> Option<(bool, GradualSign)> {
    match kind {
        DynamicKind::Louder(sign) => Some((true, sign)),
        DynamicKind::Softer(sign) => Some((false, sign)),
        DynamicKind::Letters(_) | DynamicKind::End => None,
    }
}

/// The hairpin that comes from the lines before.
fn from_before(carried: Carried<'_>, bars: &[PlacedBar<'_>]) -> Option<Begun> {
    let first = bars.first()?;
    let last = carried.dynamic?;
    let (louder, sign) = gradual(last.kind)?;
    let from = first.columns.first().map_or(first.left, |x| x - LINE_LEAN);
    Some(Begun { from, louder, sign, goes_on: true, span: last.span })
}

/// Whether a dynamic in a later line ends a hairpin.
fn ends_later(carried: Carried<'_>, line: &PlacedBar<'_>) -> bool {
    carried.last_dynamic.is_some_and(|last| last > line.index)
}

/// The dynamics of a line from left to right.
pub fn shapes(
    engraver: &Engraver<'_>,
    carried: Carried<'_>,
    bars: &[PlacedBar<'_>],
) -> Vec<DynamicShape> {
    let mut shapes = Vec::new();
    let mut begun = from_before(carried, bars);
    for bar in bars {
        for dynamic in &bar.bar.dynamics {
            begun = add(engraver, dynamic, bar.x(dynamic.at), begun, &mut shapes);
        }
    }
    if let (Some(pin), Some(last)) = (begun, bars.last()) {
        let to = last.right - last.spaced.closing - PIN_GAP;
        if to > pin.from {
            shapes.push(pin.up_to(engraver, to, ends_later(carried, last)));
        }
    }
    shapes
}

/// Adds a dynamic at an x, and the hairpin that it ends; the hairpin that it begins.
fn add(
    engraver: &Engraver<'_>,
    dynamic: &Dynamic,
    x: f64,
    begun: Option<Begun>,
    shapes: &mut Vec<DynamicShape>,
) -> Option<Begun> {
    let glyphs = glyphs(&dynamic.kind);
    let left = x - width(engraver, &glyphs) / 2.0 - PIN_GAP;
    if let Some(mut pin) = begun.filter(|pin| pin.has_room(engraver, left)) {
        if pin.goes_on && pin.sign == GradualSign::Hairpin {
            // Before its first note a line has room for what is left of a hairpin.
            pin.from = pin.from.min(left - LEAST_PIN).max(0.0);
        }
        shapes.push(pin.up_to(engraver, left, false));
    }
    if !glyphs.is_empty() {
        shapes.push(DynamicShape::Letters { x, glyphs, span: dynamic.span });
    }
    gradual(dynamic.kind).map(|(louder, sign)| {
        let from = after(engraver, shapes, x);
        Begun { from, louder, sign, goes_on: false, span: dynamic.span }
    })
}

/// A hairpin that begins where letters stand begins to their right.
fn after(engraver: &Engraver<'_>, shapes: &[DynamicShape], x: f64) -> f64 {
    match shapes.last() {
        Some(letters @ DynamicShape::Letters { .. }) => x.max(letters.extent(engraver).1 + PIN_GAP),
        Some(DynamicShape::Hairpin { .. } | DynamicShape::Gradual { .. }) | None => x - PIN_LEAN,
    }
}
