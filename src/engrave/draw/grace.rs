//! Grace notes: one is slashed, two and three are beamed as sixteenths (Gould, *Behind Bars*,
//! "Grace notes", from memory).

use super::outline;
use crate::drawing::{Kind, Mark, Shape};
use crate::engrave::engraver::Engraver;
use crate::engrave::measure::chord::ChordShape;
use crate::engrave::measure::grace::{centres, tip};
use crate::engrave::measure::head::GraceHead;
use crate::engrave::staff::{outer_line, y_of};
use crate::font::{Anchor, Glyph};
use crate::score::settings::Staff;
use kurbo::{BezPath, Point, Rect};

/// Thickness of a grace note's stem, as a factor on that of others (no source).
const THIN: f64 = 0.8;
/// Beams of several grace notes: sixteenths.
const BEAMS: u8 = 2;
/// From under the first grace head to its slur, from there to the slur's end under the main note,
/// and how far left of that note's ink it ends (no source).
const SLUR: (f64, f64, f64) = (0.15, 0.1, 0.02);
/// How far left of the main note's ink a slur ends that runs under its heads, where the other voice may have
/// a stem (no source).
const SHORT_UNDER: f64 = 0.35;
/// How far left of the first grace head's middle its slur begins, as a share of the head (no
/// source).
const SLUR_BACK: f64 = 0.3;
/// The ends of the slash of a font without its anchors, from the end of the stem (no source).
const SLASH: [(f64, f64); 2] = [(-0.6, 2.2), (1.3, 0.7)];

/// Where grace notes stand.
struct PlacedGrace<'a> {
    engraver: &'a Engraver<'a>,
    /// x of the middle of each head.
    centres: &'a [f64],
    /// The box of a full-size head.
    head: Rect,
    /// Where a full-size stem meets its head.
    anchor: Point,
    /// Their heads.
    heads: &'a [GraceHead],
    /// y of the ends of their stems.
    tip: f64,
}

/// The marks of a chord's grace notes; `x` is the centre of its column.
pub fn marks(
    engraver: &Engraver<'_>,
    chord: &ChordShape,
    x: f64,
    staff: Staff,
    slurred: bool,
) -> Vec<Mark> {
    let centres: Vec<f64> = centres(engraver, chord).iter().map(|centre| x + centre).collect();
    let (Some(first), Some(last)) = (centres.first(), centres.last()) else { return Vec::new() };
    let music = &engraver.fonts.music;
    let glyph = Glyph::NOTEHEAD_BLACK;
    let head = music.bounds(glyph);
    let anchor = music.anchor(glyph, Anchor::StemUpSE).unwrap_or(Point::new(head.x1, 0.0));
    let (heads, tip) = (chord.grace.as_slice(), tip(engraver, chord));
    let placed = PlacedGrace { engraver, centres: &centres, head, anchor, heads, tip };
    let mut marks = placed.notes();
    if staff == Staff::FiveLines {
        // Neighbours at one height share their ledger lines.
        let placed: Vec<(i32, f64)> =
            heads.iter().map(|head| head.position).zip(centres.iter().copied()).collect();
        for run in placed.chunk_by(|a, b| a.0 == b.0) {
            if let (Some((position, first)), Some((_, last))) = (run.first(), run.last()) {
                ledgers(engraver, &mut marks, *position, (*first, *last), head);
            }
        }
    }
    if centres.len() == 1 {
        placed.flag(*first, &mut marks);
    } else {
        placed.beams(*first, *last, &mut marks);
    }
    if slurred {
        // It ends short of the main note, where no other head or stem can be in its way.
        let (under, drop, short) = SLUR;
        let scale = engraver.style.grace_scale;
        let lowest = heads.iter().map(|head| head.position).min().unwrap_or(0);
        let below = y_of(lowest) + head.y1 * scale + under;
        let from = Point::new(first - head.width() * scale * SLUR_BACK, below);
        let beside = heads.iter().any(|head| head.position < chord.lowest());
        let short = if beside { SHORT_UNDER } else { short };
        let to = Point::new(x - chord.left - short, below + drop);
        marks.push(Mark::new(Kind::Slur, Shape::Path(outline::bow(engraver, from, to, 1.0))));
    }
    marks
}

impl PlacedGrace<'_> {
    fn scale(&self) -> f64 {
        self.engraver.style.grace_scale
    }

    fn stem_thickness(&self) -> f64 {
        self.engraver.fonts.music.defaults().stem_thickness * THIN
    }

    /// The right edge of a note's stem.
    fn stem_right(&self, centre: f64) -> f64 {
        centre + (self.anchor.x - (self.head.x0 + self.head.x1) / 2.0) * self.scale()
    }

    /// y from the middle of a full-size head to where its stem meets it.
    fn foot(&self, glyph: Glyph) -> f64 {
        let music = &self.engraver.fonts.music;
        music.anchor(glyph, Anchor::StemUpSE).map_or(self.anchor.y, |anchor| anchor.y)
    }

    /// Heads and stems.
    fn notes(&self) -> Vec<Mark> {
        let scale = self.scale();
        let mut marks = Vec::new();
        for (centre, GraceHead { glyph, position }) in self.centres.iter().zip(self.heads) {
            let (bounds, y) = (self.engraver.fonts.music.bounds(*glyph), y_of(*position));
            let origin = centre - (bounds.x0 + bounds.x1) / 2.0 * scale;
            marks.push(self.engraver.glyph_scaled(Kind::Grace, *glyph, origin, y, scale));
            let right = self.stem_right(*centre);
            let foot = y + self.foot(*glyph) * scale;
            let stem = Rect::new(right - self.stem_thickness(), self.tip, right, foot);
            marks.push(Mark::new(Kind::Grace, Shape::Box(stem)));
        }
        marks
    }

    /// The flag of a single note with its slash.
    fn flag(&self, centre: f64, marks: &mut Vec<Mark>) {
        let left = self.stem_right(centre) - self.stem_thickness();
        let (glyph, scale) = (Glyph::FLAG_8TH_UP, self.scale());
        marks.push(self.engraver.glyph_scaled(Kind::Grace, glyph, left, self.tip, scale));
        let slash = slash(self.engraver, left, self.tip);
        marks.push(Mark::new(Kind::GraceSlash, Shape::Path(slash)));
    }

    fn beams(&self, first: f64, last: f64, marks: &mut Vec<Mark>) {
        let defaults = self.engraver.fonts.music.defaults();
        let scale = self.scale();
        let thick = defaults.beam_thickness * scale;
        let left = self.stem_right(first) - self.stem_thickness();
        for line in 0..BEAMS {
            let top = self.tip + f64::from(line) * (thick + defaults.beam_spacing * scale);
            let beam = Rect::new(left, top, self.stem_right(last), top + thick);
            marks.push(Mark::new(Kind::Grace, Shape::Box(beam)));
        }
    }
}

/// Ledger lines of grace notes beyond the staff, from the first head to the last.
fn ledgers(
    engraver: &Engraver<'_>,
    marks: &mut Vec<Mark>,
    position: i32,
    (first, last): (f64, f64),
    head: Rect,
) {
    let defaults = engraver.fonts.music.defaults();
    let scale = engraver.style.grace_scale;
    let reach = (head.width() / 2.0 + defaults.leger_line_extension / 2.0) * scale;
    let half = defaults.leger_line_thickness / 2.0;
    let direction = position.signum();
    let mut line = outer_line(Staff::FiveLines) + 2;
    while line <= position.abs() {
        let y = y_of(line * direction);
        let rect = Rect::new(first - reach, y - half, last + reach, y + half);
        marks.push(Mark::new(Kind::Ledger, Shape::Box(rect)));
        line += 2;
    }
}

/// The stroke through a single grace note's stem and flag, rising to the right.
fn slash(engraver: &Engraver<'_>, stem_left: f64, tip: f64) -> BezPath {
    let music = &engraver.fonts.music;
    let scale = engraver.style.grace_scale;
    let at = |anchor, fallback: (f64, f64)| {
        let p =
            music.anchor(Glyph::FLAG_8TH_UP, anchor).unwrap_or(Point::new(fallback.0, fallback.1));
        Point::new(stem_left + p.x * scale, tip + p.y * scale)
    };
    let from = at(Anchor::GraceNoteSlashSW, SLASH[0]);
    let to = at(Anchor::GraceNoteSlashNE, SLASH[1]);
    outline::stroke(from, to, music.defaults().stem_thickness)
}
