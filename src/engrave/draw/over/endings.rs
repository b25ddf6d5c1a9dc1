//! Brackets over the endings of repeats. One that goes on in a further line repeats its number in
//! brackets; one after which the music simply goes on is left open at its right (Gould, *Behind
//! Bars*, "Repeat signs", from memory).

use crate::drawing::{Kind, Mark, Shape};
use crate::engrave::draw::canvas::Canvas;
use crate::engrave::draw::placed_bar::PlacedBar;
use crate::engrave::staff::staff_edges;
use crate::font::FaceStyle;
use crate::score::mark::Passes;
use crate::score::{Bar, Closing, MarkKind, PlayerPart, Span};
use kurbo::Rect;

/// From the end of an ending's bracket to its barline (no source).
const ENDING_GAP: f64 = 0.5;
/// Height of a bracket beyond that of its figures (no source).
const BRACKET_ROOM: f64 = 0.7;
/// From the corner of a bracket to its figures: to the right, and up from the end of its hook (no
/// source).
const FIGURES: (f64, f64) = (0.5, 0.15);

/// The part of an ending that stands on one line.
struct EndingPart<'a> {
    left: f64,
    right: f64,
    /// The passes it is played on.
    passes: &'a Passes,
    /// It comes from the line before.
    goes_on: bool,
    /// Its passage ends here.
    closed: bool,
    place: Option<Span>,
}

/// An ending as bars of its part.
struct EndingBars<'a> {
    passes: &'a Passes,
    span: Span,
    last: usize,
    /// Its passage ends with it: the music does not simply go on.
    closed: bool,
}

/// The passes of the ending that begins with a bar.
fn ending(bar: &Bar) -> Option<(&Passes, Span)> {
    bar.marks.iter().find_map(|mark| {
        if let MarkKind::Ending(passes) = &mark.kind { Some((passes, mark.span)) } else { None }
    })
}

/// Whether a passage ends before a bar, with a section letter or the start of a repeat.
fn begins_passage(bar: &Bar) -> bool {
    bar.repeat_start || bar.marks.iter().any(|mark| matches!(mark.kind, MarkKind::Section(_)))
}

/// The ending that begins with a bar. Every one ends before the next one and with a repeat or a
/// double line; one that is not the first also where its passage ends, and where no repeat or ending
/// closes it, it is no longer than the first one (common practice, no source).
fn ending_from(part: &PlayerPart, first: usize) -> Option<EndingBars<'_>> {
    let (passes, span) = ending(part.bars.get(first)?)?;
    let later = !passes.has(1);
    let ends = |last: &usize| {
        let Some(next) = part.bars.get(last + 1) else { return true };
        let closes = part.bars.get(*last).is_none_or(|bar| bar.closing != Closing::Single);
        closes || ending(next).is_some() || later && begins_passage(next)
    };
    let mut last = (first..part.bars.len()).find(ends)?;
    if later && !is_closed(part, last) {
        let most = first_length(part, first, passes).unwrap_or(usize::MAX);
        last = last.min(first.saturating_add(most.saturating_sub(1)));
    }
    let next = part.bars.get(last + 1);
    let closing = part.bars.get(last).map(|bar| bar.closing);
    let closed = closing != Some(Closing::Single) || next.is_none_or(begins_passage);
    Some(EndingBars { passes, span, last, closed })
}

/// Whether a repeat closes an ending with a bar, or another ending follows.
fn is_closed(part: &PlayerPart, last: usize) -> bool {
    let next = part.bars.get(last + 1);
    next.is_some_and(|next| ending(next).is_some())
        || match part.bars.get(last).map(|bar| bar.closing) {
            Some(Closing::Repeat { .. }) => true,
            Some(Closing::Single | Closing::Double) | None => false,
        }
}

/// How many bars the first ending has, where a bar begins a later one with these passes.
fn first_length(part: &PlayerPart, later: usize, passes: &Passes) -> Option<usize> {
    let mut until = passes.last();
    for index in (0..later).rev() {
        let bar = part.bars.get(index)?;
        match ending(bar) {
            Some((passes, _)) if passes.has(1) => {
                return ending_from(part, index).map(|first| first.last - index + 1);
            }
            // Endings count upwards: another repeat's are not these.
            Some((before, _)) if before.last() >= until => return None,
            Some((before, _)) => until = before.last(),
            None if bar.repeat_start => return None,
            None => {}
        }
    }
    None
}

/// The ending that began before a bar and reaches into it.
fn ending_into(part: &PlayerPart, index: usize) -> Option<EndingBars<'_>> {
    for before in (0..index).rev() {
        let bar = part.bars.get(before)?;
        if bar.closing != Closing::Single {
            return None;
        }
        if ending(bar).is_some() {
            return ending_from(part, before).filter(|ending| ending.last >= index);
        }
    }
    None
}

/// The endings of a line.
fn parts<'a>(part: &'a PlayerPart, bars: &[PlacedBar<'_>]) -> Vec<EndingPart<'a>> {
    let Some(line) = bars.last() else { return Vec::new() };
    let part = |bar: &PlacedBar<'_>| {
        let (own, goes_on) = match ending_from(part, bar.index) {
            Some(own) => (own, false),
            None if bar.first_of_line => (ending_into(part, bar.index)?, true),
            None => return None,
        };
        let end = bars.iter().find(|bar| bar.index == own.last).unwrap_or(line);
        Some(EndingPart {
            left: bar.left,
            right: end.right,
            passes: own.passes,
            goes_on,
            closed: own.closed && own.last <= line.index,
            place: Some(own.span),
        })
    };
    bars.iter().filter_map(part).collect()
}

/// Draws the endings of a line, all at one height.
pub fn draw(canvas: &mut Canvas<'_>, part: &PlayerPart, bars: &[PlacedBar<'_>]) {
    let engraver = canvas.engraver;
    let parts = parts(part, bars);
    let (Some(first), Some(last)) = (parts.first(), parts.last()) else { return };
    let size = engraver.pt(engraver.points(engraver.style.words));
    let height = engraver.fonts.text.cap_height(FaceStyle::Regular) * size + BRACKET_ROOM;
    let staff_top = staff_edges(part.settings.staff).0;
    let over = canvas.skyline.top(first.left, last.right, staff_top);
    let bottom = over - engraver.style.stack_gap;
    for part in &parts {
        draw_part(canvas, part, bottom - height, bottom);
    }
}

fn draw_part(canvas: &mut Canvas<'_>, part: &EndingPart<'_>, top: f64, bottom: f64) {
    let engraver = canvas.engraver;
    let thickness = engraver.fonts.music.defaults().repeat_ending_line_thickness;
    let (left, right, place) = (part.left, part.right - ENDING_GAP, part.place);
    let mut rects = vec![Rect::new(left, top, right, top + thickness)];
    if !part.goes_on {
        rects.push(Rect::new(left, top, left + thickness, bottom));
    }
    if part.closed {
        rects.push(Rect::new(right - thickness, top, right, bottom));
    }
    for rect in rects {
        canvas.push_at(Mark::new(Kind::Ending, Shape::Box(rect)), place);
    }
    let number = match part.goes_on {
        true => format!("({}.)", part.passes.as_str()),
        false => format!("{}.", part.passes.as_str()),
    };
    let points = engraver.points(engraver.style.words);
    let (run, _) = engraver.words(&number, FaceStyle::Regular, points);
    let (dx, dy) = FIGURES;
    canvas.push_at(engraver.text(Kind::Ending, run, left + dx, bottom - dy, points), place);
}
