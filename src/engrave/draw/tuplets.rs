//! Tuplet numbers and brackets: the number alone where a beam shows the group, a bracket otherwise,
//! on the side of the stems. A bracket covers the time of its notes, so that it reaches to where
//! its last part stands though a longer note or a rest begins before it (Gould, *Behind Bars*,
//! "Tuplets", from memory).

use super::beam_place::PlacedBeam;
use super::canvas::Canvas;
use super::placed_bar::PlacedBar;
use crate::drawing::{Kind, Mark, Shape};
use crate::engrave::engraver::Engraver;
use crate::engrave::measure::voice::VoiceShape;
use crate::engrave::notate::event::Tuplet;
use crate::engrave::staff::Stems;
use crate::font::Glyph;
use crate::score::Time;
use crate::score::division::{Across, BarlineSide};
use kurbo::Rect;

/// Length of the hooks of a bracket (no source).
const HOOK: f64 = 0.7;
/// Room between a number and its bracket (no source).
const NUMBER_ROOM: f64 = 0.3;
/// How far apart the heights of neighbours may be that are brought to one, as those over a kick and
/// over the high tom; farther off, a number stays near its notes (no source).
const LEVELLED: f64 = 3.0;
/// Between a bracket and the head that follows it (no source).
const BEFORE_NEXT: f64 = 0.3;
/// How far beside a number signs count as being under it (no source).
const NUMBER_REACH: f64 = 0.7;

/// A tuplet that knows where its notes are.
#[derive(Clone, Copy, Debug)]
pub struct PlacedTuplet {
    /// The bar it stands in, by index in the block.
    pub bar: usize,
    /// Its start and its end in the bar.
    pub time: (Time, Time),
    /// 0 for an outer one, 1 for one inside it.
    pub level: usize,
    /// Left edge of its first note's ink.
    pub left: f64,
    /// Right edge of the place of its last part: of the ink there, or of a head that would stand
    /// there where a longer note or rest begins before it.
    pub right: f64,
    /// Its number.
    pub number: u32,
    /// The number of plain notes it stands for, where that is printed after a colon.
    pub normal: Option<u32>,
    /// The middle of the beam that shows exactly its notes, where one does.
    pub beam: Option<f64>,
    /// The side of the stems.
    pub stems: Stems,
    /// It goes on over a barline.
    across: Option<Across>,
    /// Whether its bracket is open at its left and at its right, where the other part of it stands on
    /// another line.
    open: (bool, bool),
}

/// Places the tuplets of a voice, whose events stand at `xs`.
pub fn place(
    engraver: &Engraver<'_>,
    bar: &PlacedBar<'_>,
    voice: &VoiceShape,
    xs: &[f64],
    beams: &[PlacedBeam],
) -> Vec<PlacedTuplet> {
    let half_head = engraver.fonts.music.bounds(Glyph::NOTEHEAD_BLACK).width() / 2.0;
    let place = |tuplet: &Tuplet| {
        let events = &voice.rhythm.events;
        let inside =
            |i: &usize| events.get(*i).is_some_and(|e| e.at >= tuplet.start && e.at < tuplet.end);
        let first = (0..events.len()).find(inside)?;
        let last = (0..events.len()).rfind(inside)?;
        let [left, right] = [first, last].map(|i| xs.get(i).copied().unwrap_or(0.0));
        let part = (tuplet.end - tuplet.start) / i64::from(tuplet.number.max(1));
        // It ends before the head that may stand at its end.
        let most = bar.x(tuplet.end) - 2.0 * half_head - BEFORE_NEXT;
        let last_part = bar.x(tuplet.end - part).min(most);
        Some(PlacedTuplet {
            bar: bar.index,
            time: (tuplet.start, tuplet.end),
            level: tuplet.level,
            left: left - half_head,
            right: right.max(last_part) + half_head,
            number: tuplet.across.map_or(tuplet.number, |across| across.number),
            normal: tuplet.ratio.then_some(tuplet.normal).filter(|_| tuplet.across.is_none()),
            beam: beam_over(voice, tuplet, (first, last), beams)
                .filter(|_| tuplet.across.is_none()),
            stems: voice.stems,
            across: tuplet.across,
            open: (false, false),
        })
    };
    voice.rhythm.tuplets.iter().filter_map(place).collect()
}

/// The middle of the beam that shows exactly the notes of a tuplet, given by its first and its last
/// event, where one does; none for a tuplet with others inside.
fn beam_over(
    voice: &VoiceShape,
    tuplet: &Tuplet,
    (first, last): (usize, usize),
    beams: &[PlacedBeam],
) -> Option<f64> {
    let nests = voice.rhythm.tuplets.iter().any(|inner| {
        inner.level > tuplet.level && inner.start >= tuplet.start && inner.end <= tuplet.end
    });
    let beam = voice
        .beams
        .iter()
        .position(|beam| beam.chords.first() == Some(&first) && beam.chords.last() == Some(&last));
    let beam = beam.filter(|_| !nests).and_then(|b| beams.get(b))?;
    Some((beam.x + beam.end) / 2.0)
}

/// Draws the tuplets of a line outside everything drawn so far, inner ones nearest. Those that
/// follow one another in a bar stand at one height.
pub fn draw(canvas: &mut Canvas<'_>, tuplets: Vec<PlacedTuplet>, staff: (f64, f64)) {
    let mut tuplets = over_barlines(tuplets);
    tuplets.sort_by_key(|t| std::cmp::Reverse(t.level));
    for level in tuplets.chunk_by(|a, b| a.level == b.level) {
        let placed: Vec<(&PlacedTuplet, f64)> =
            level.iter().map(|t| (t, middle(canvas, t, staff))).collect();
        for neighbours in placed.chunk_by(|a, b| follows(*a, *b)) {
            let middles = neighbours.iter().map(|(_, middle)| *middle);
            let middle = match neighbours.first().map(|(t, _)| t.stems) {
                Some(Stems::Up) => middles.fold(f64::INFINITY, f64::min),
                Some(Stems::Down) | None => middles.fold(f64::NEG_INFINITY, f64::max),
            };
            for (tuplet, _) in neighbours {
                draw_one(canvas, tuplet, middle);
            }
        }
    }
}

/// Makes one of the two parts of each tuplet over a barline. A part whose other part stands on another line
/// has a bracket that is open there, with the number (common practice, no source).
fn over_barlines(tuplets: Vec<PlacedTuplet>) -> Vec<PlacedTuplet> {
    let side = |t: &PlacedTuplet| t.across.map(|across| across.side);
    let mut joined: Vec<PlacedTuplet> = Vec::with_capacity(tuplets.len());
    for mut tuplet in tuplets {
        if side(&tuplet) == Some(BarlineSide::After) {
            let begun = joined.iter_mut().rev().find(|before| {
                side(before) == Some(BarlineSide::Before)
                    && (before.bar + 1, before.stems) == (tuplet.bar, tuplet.stems)
            });
            if let Some(before) = begun {
                before.right = tuplet.right;
                before.open.1 = false;
                before.across = None;
                continue;
            }
            tuplet.open.0 = true;
        }
        tuplet.open.1 = side(&tuplet) == Some(BarlineSide::Before);
        joined.push(tuplet);
    }
    joined
}

/// Whether two tuplets with their heights are neighbours that share one.
fn follows(before: (&PlacedTuplet, f64), after: (&PlacedTuplet, f64)) -> bool {
    let ((a, a_middle), (b, b_middle)) = (before, after);
    (a.bar, a.stems) == (b.bar, b.stems)
        && a.time.1 == b.time.0
        && (a_middle - b_middle).abs() <= LEVELLED
}

/// The signs of a tuplet's number, and after a colon of what it stands for.
fn signs(tuplet: &PlacedTuplet) -> Vec<Glyph> {
    let mut signs = digits(tuplet.number);
    if let Some(normal) = tuplet.normal {
        signs.push(Glyph::TUPLET_COLON);
        signs.extend(digits(normal));
    }
    signs
}

fn digits(number: u32) -> Vec<Glyph> {
    let text = number.to_string();
    text.chars().filter_map(|c| c.to_digit(10)).map(Glyph::tuplet_digit).collect()
}

/// The width of a tuplet's number and the x of its middle.
fn number(engraver: &Engraver<'_>, tuplet: &PlacedTuplet) -> (f64, f64) {
    let music = &engraver.fonts.music;
    let width = signs(tuplet).iter().map(|g| music.advance(*g)).sum();
    (width, tuplet.beam.unwrap_or((tuplet.left + tuplet.right) / 2.0))
}

/// The y of a tuplet's number and bracket, as near as the ink under it allows.
fn middle(canvas: &Canvas<'_>, tuplet: &PlacedTuplet, staff: (f64, f64)) -> f64 {
    let engraver = canvas.engraver;
    let music = &engraver.fonts.music;
    let gap = engraver.style.stack_gap;
    let height = signs(tuplet).iter().map(|g| music.bounds(*g).height()).fold(0.0, f64::max);
    let (width, centre) = number(engraver, tuplet);
    let (x0, x1) = match tuplet.beam {
        Some(_) => (centre - width / 2.0 - NUMBER_REACH, centre + width / 2.0 + NUMBER_REACH),
        None => (tuplet.left, tuplet.right),
    };
    match tuplet.stems {
        Stems::Up => canvas.skyline.top(x0, x1, staff.0) - gap - height / 2.0,
        Stems::Down => canvas.skyline.bottom(x0, x1, staff.1) + gap + height / 2.0,
    }
}

fn draw_one(canvas: &mut Canvas<'_>, tuplet: &PlacedTuplet, middle: f64) {
    let engraver = canvas.engraver;
    let music = &engraver.fonts.music;
    let (width, centre) = number(engraver, tuplet);
    let mut x = centre - width / 2.0;
    for sign in signs(tuplet) {
        let bounds = music.bounds(sign);
        let y = middle - (bounds.y0 + bounds.y1) / 2.0;
        canvas.push(engraver.glyph(Kind::Tuplet, sign, x, y));
        x += music.advance(sign);
    }
    if tuplet.beam.is_some() {
        return;
    }
    let thickness = music.defaults().tuplet_bracket_thickness;
    let half = thickness / 2.0;
    let hook = -tuplet.stems.sign() * HOOK;
    let mut line = |x0: f64, y0: f64, x1: f64, y1: f64| {
        if x1 > x0 && y1 > y0 {
            canvas.push(Mark::new(Kind::Tuplet, Shape::Box(Rect::new(x0, y0, x1, y1))));
        }
    };
    line(tuplet.left, middle - half, centre - width / 2.0 - NUMBER_ROOM, middle + half);
    line(centre + width / 2.0 + NUMBER_ROOM, middle - half, tuplet.right, middle + half);
    let (top, bottom) = (middle.min(middle + hook) - half, middle.max(middle + hook) + half);
    if !tuplet.open.0 {
        line(tuplet.left, top, tuplet.left + thickness, bottom);
    }
    if !tuplet.open.1 {
        line(tuplet.right - thickness, top, tuplet.right, bottom);
    }
}
