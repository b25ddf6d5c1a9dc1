//! Brackets over phrases with their numbers. One that goes on in a further line is open at the end of the
//! line and at the start of the next, where its number stands again in brackets.

use crate::drawing::{Kind, Mark, Shape};
use crate::engrave::draw::canvas::Canvas;
use crate::engrave::draw::placed_bar::PlacedBar;
use crate::engrave::staff::staff_edges;
use crate::font::FaceStyle;
use crate::score::mark::{OpenPhrase, PhraseStep};
use crate::score::{PlayerPart, Span, Time};
use kurbo::Rect;

/// How far to the left of its first note's centre a bracket begins (no source).
const LEAN: f64 = 0.7;
/// From the end of a bracket to what follows: the centre of a note, or a barline (no source).
const BEFORE: (f64, f64) = (1.3, 0.4);
/// Length of the hooks at its ends (no source).
const HOOK: f64 = 0.8;
/// On each side of its number (no source).
const NUMBER_ROOM: f64 = 0.5;
/// The shortest line on each side of a number; where there is less room, the number stands over the line
/// (no source).
const LEAST_LINE: f64 = 0.5;

/// The part of a phrase that stands on one line.
struct PhrasePart {
    left: f64,
    right: f64,
    number: Option<u32>,
    /// It comes from the line before.
    goes_on: bool,
    /// It ends here.
    closed: bool,
    span: Span,
}

/// The phrases of a line.
fn parts(part: &PlayerPart, bars: &[PlacedBar<'_>]) -> Vec<PhrasePart> {
    let (Some(first), Some(last)) = (bars.first(), bars.last()) else { return Vec::new() };
    let mut parts = Vec::new();
    let begins = |OpenPhrase { number, span }: OpenPhrase, left: f64, goes_on: bool| PhrasePart {
        left,
        right: left,
        number,
        goes_on,
        closed: true,
        span,
    };
    let head = |bar: &PlacedBar<'_>| bar.columns.first().map_or(bar.left, |x| x - LEAN);
    let mut open = first.bar.phrase.map(|phrase| begins(phrase, head(first), true));
    for bar in bars {
        let steps = bar.bar.marks.iter().filter_map(|mark| Some((mark.at, mark.phrase()?)));
        let mut steps: Vec<_> = steps.collect();
        steps.sort_by_key(|(at, _)| *at);
        for (at, step) in steps {
            let right = match at == Time::ZERO {
                true => bar.left - BEFORE.1,
                false => bar.x(at) - BEFORE.0,
            };
            parts.extend(open.take().map(|own| PhrasePart { right, ..own }));
            open = match step {
                PhraseStep::Begins(phrase) => Some(begins(phrase, bar.x(at) - LEAN, false)),
                PhraseStep::Ends => None,
            };
        }
    }
    let goes_on = part.bars.get(last.index + 1).is_some_and(|next| next.phrase.is_some());
    let right = last.right - last.spaced.closing - BEFORE.1;
    parts.extend(open.map(|own| PhrasePart { right, closed: !goes_on, ..own }));
    // One that begins and ends at one place has no notes.
    parts.retain(|own| own.right > own.left);
    parts
}

/// Draws the phrases of a line, all at one height.
pub fn draw(canvas: &mut Canvas<'_>, part: &PlayerPart, bars: &[PlacedBar<'_>]) {
    let parts = parts(part, bars);
    let engraver = canvas.engraver;
    let staff_top = staff_edges(part.settings.staff).0;
    let over = parts.iter().map(|own| canvas.skyline.top(own.left, own.right, staff_top));
    let y = over.fold(staff_top, f64::min) - engraver.style.stack_gap - HOOK;
    for own in &parts {
        draw_part(canvas, own, y);
    }
}

fn draw_part(canvas: &mut Canvas<'_>, part: &PhrasePart, y: f64) {
    let engraver = canvas.engraver;
    let thickness = engraver.fonts.music.defaults().tuplet_bracket_thickness;
    let (left, right, place) = (part.left, part.right, Some(part.span));
    let mut rects = Vec::new();
    if !part.goes_on {
        rects.push(Rect::new(left, y, left + thickness, y + HOOK));
    }
    if part.closed {
        rects.push(Rect::new(right - thickness, y, right, y + HOOK));
    }
    let number = part.number.map(|number| match part.goes_on {
        true => format!("({number})"),
        false => number.to_string(),
    });
    let points = engraver.points(engraver.style.words);
    let shaped = number.map(|number| engraver.words(&number, FaceStyle::Regular, points));
    let cap = engraver.fonts.text.cap_height(FaceStyle::Regular) * engraver.pt(points);
    let middle = (left + right) / 2.0;
    let mut line = |from, to| rects.push(Rect::new(from, y, to, y + thickness));
    let text = shaped.map(|(run, width)| {
        let half = width / 2.0 + NUMBER_ROOM;
        let inside = half + LEAST_LINE <= (right - left) / 2.0;
        let baseline = if inside { y + thickness / 2.0 + cap / 2.0 } else { y - NUMBER_ROOM };
        if inside {
            line(left, middle - half);
            line(middle + half, right);
        } else {
            line(left, right);
        }
        engraver.text(Kind::Phrase, run, middle - width / 2.0, baseline, points)
    });
    if text.is_none() {
        line(left, right);
    }
    for rect in rects {
        canvas.push_at(Mark::new(Kind::Phrase, Shape::Box(rect)), place);
    }
    if let Some(text) = text {
        canvas.push_at(text, place);
    }
}
