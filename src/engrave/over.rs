//! What stands over the staff. From the notes outwards: fermatas and words, endings, signs,
//! section letters, and at the head of a block its tempo and feel.

use super::canvas::Canvas;
use super::context::Context;
use super::phrase::{self, Phrase};
use super::system::{PlacedBar, staff_edges};
use crate::drawing::{Kind, Mark, Shape};
use crate::font::{FaceStyle, Glyph};
use crate::score::block::{Block, Closing, MarkKind};
use crate::score::settings::Staff;
use kurbo::Rect;

/// Draws everything over a line.
pub fn draw(
    canvas: &mut Canvas<'_>,
    context: &Context<'_>,
    block: &Block,
    bars: &[PlacedBar<'_>],
    first_line: bool,
) {
    let staff = block.settings.staff;
    for layer in [near as Layer, signs as Layer] {
        for bar in bars {
            for mark in &bar.bar.marks {
                layer(canvas, context, staff, bar, mark);
            }
        }
    }
    endings(canvas, context, staff, bars);
    for bar in bars {
        for mark in &bar.bar.marks {
            sections(canvas, context, staff, bar, mark);
        }
    }
    if first_line {
        heading(canvas, context, block, bars);
    } else if let Some(bar) = bars.first() {
        bar_number(canvas, context, staff, bar);
    }
}

/// From the end of an ending's bracket to its barline.
const ENDING_GAP: f64 = 0.5;
/// Clear space under words and notes over the staff.
const PHRASE_LIFT: f64 = 0.9;
/// Clear space beside words over the staff.
const PHRASE_ROOM: f64 = 0.8;

type Layer = fn(&mut Canvas<'_>, &Context<'_>, Staff, &PlacedBar<'_>, &crate::score::block::Mark);

fn near(
    canvas: &mut Canvas<'_>,
    context: &Context<'_>,
    staff: Staff,
    bar: &PlacedBar<'_>,
    mark: &crate::score::block::Mark,
) {
    let x = bar.x(mark.at);
    match &mark.kind {
        MarkKind::Fermata => glyph_over(canvas, context, staff, Glyph::FERMATA_ABOVE, x, mark),
        MarkKind::Words(words) => text_over(canvas, context, staff, words, x - 0.6, mark),
        MarkKind::Straight => text_over(canvas, context, staff, "straight", x - 0.6, mark),
        MarkKind::Tempo(tempo) => {
            put(canvas, context, staff, Phrase::tempo(context, tempo), x - 0.6, mark);
        }
        MarkKind::Swing(swing) => {
            put(canvas, context, staff, Phrase::swing(context, swing), x - 0.6, mark);
        }
        _ => {}
    }
}

fn signs(
    canvas: &mut Canvas<'_>,
    context: &Context<'_>,
    staff: Staff,
    bar: &PlacedBar<'_>,
    mark: &crate::score::block::Mark,
) {
    let x = if mark.at == crate::score::Time::ZERO { bar.left + 0.8 } else { bar.x(mark.at) };
    match &mark.kind {
        MarkKind::Segno => glyph_over(canvas, context, staff, Glyph::SEGNO, x, mark),
        MarkKind::Coda => glyph_over(canvas, context, staff, Glyph::CODA, x, mark),
        MarkKind::Direction(words) => {
            let points = context.style.tempo_pt;
            let (_, width) = context.words(words, FaceStyle::Italic, points);
            text_over(canvas, context, staff, words, bar.right - width, mark);
        }
        _ => {}
    }
}

fn sections(
    canvas: &mut Canvas<'_>,
    context: &Context<'_>,
    staff: Staff,
    bar: &PlacedBar<'_>,
    mark: &crate::score::block::Mark,
) {
    let MarkKind::Section(letter) = &mark.kind else { return };
    let points = context.style.tempo_pt * 1.15;
    let (run, width) = context.words(letter, FaceStyle::Bold, points);
    let height = context.fonts.text.cap_height(FaceStyle::Bold) * context.pt(points);
    let pad = 0.45;
    let side = (height + 2.0 * pad).max(width + 2.0 * pad);
    let at_start = mark.at == crate::score::Time::ZERO;
    let left = if at_start { bar.left.max(0.0) } else { bar.x(mark.at) - pad };
    let top = canvas.skyline.top(left, left + side, staff_edges(staff).0);
    let bottom = top - context.style.stack_gap - 0.2;
    let rect = Rect::new(left, bottom - height - 2.0 * pad, left + side, bottom);
    let thickness = context.fonts.music.defaults().text_enclosure_thickness;
    for path in phrase::frame(rect, thickness) {
        canvas.push_at(Mark::new(Kind::Section, Shape::Path(path)), context.place(mark.span));
    }
    let x = left + (side - width) / 2.0;
    let text = context.text(Kind::Section, run, x, bottom - pad, points);
    canvas.push_at(text, context.place(mark.span));
}

fn glyph_over(
    canvas: &mut Canvas<'_>,
    context: &Context<'_>,
    staff: Staff,
    glyph: Glyph,
    x: f64,
    mark: &crate::score::block::Mark,
) {
    let bounds = context.fonts.music.bounds(glyph);
    let half = bounds.width() / 2.0;
    let top = canvas.skyline.top(x - half, x + half, staff_edges(staff).0);
    let y = top - context.style.stack_gap - bounds.y1;
    let kind = if glyph == Glyph::FERMATA_ABOVE { Kind::Articulation } else { Kind::Sign };
    let origin = x - (bounds.x0 + bounds.x1) / 2.0;
    canvas.push_at(context.glyph(kind, glyph, origin, y), context.place(mark.span));
}

fn text_over(
    canvas: &mut Canvas<'_>,
    context: &Context<'_>,
    staff: Staff,
    words: &str,
    left: f64,
    mark: &crate::score::block::Mark,
) {
    let mut phrase = Phrase::default();
    phrase.text(context, Kind::Words, words, FaceStyle::Italic);
    put(canvas, context, staff, phrase, left, mark);
}

fn put(
    canvas: &mut Canvas<'_>,
    context: &Context<'_>,
    staff: Staff,
    phrase: Phrase,
    left: f64,
    mark: &crate::score::block::Mark,
) {
    place_phrase(canvas, context, staff, phrase, left, context.place(mark.span));
}

/// Sets a phrase on the skyline, its left end at an x.
fn place_phrase(
    canvas: &mut Canvas<'_>,
    context: &Context<'_>,
    staff: Staff,
    phrase: Phrase,
    left: f64,
    place: Option<crate::source::Place>,
) {
    let room = PHRASE_ROOM;
    let top = canvas.skyline.top(left - room, left + phrase.width + room, staff_edges(staff).0);
    let descent = phrase.marks.iter().map(|m| context.bounds(&m.shape).y1).fold(0.0, f64::max);
    let y = top - PHRASE_LIFT - descent;
    for mark in phrase.marks {
        let shape = mark.shape.scaled_and_moved(1.0, left, y);
        canvas.push_at(Mark { shape, ..mark }, place);
    }
}

/// Tempo and feel at the head of a block, over its time signature.
fn heading(canvas: &mut Canvas<'_>, context: &Context<'_>, block: &Block, bars: &[PlacedBar<'_>]) {
    let mut phrase = Phrase::default();
    let mut join = |next: Phrase| {
        if phrase.width > 0.0 {
            phrase.width += 2.0;
        }
        for mark in next.marks {
            let shape = mark.shape.scaled_and_moved(1.0, phrase.width, 0.0);
            phrase.marks.push(Mark { shape, ..mark });
        }
        phrase.width += next.width;
    };
    if let Some(tempo) = &block.settings.tempo {
        join(Phrase::tempo(context, tempo));
    }
    if let Some(swing) = &block.settings.swing {
        join(Phrase::swing(context, swing));
    }
    if phrase.width > 0.0 {
        let left = bars.first().map_or(0.0, |b| b.left + context.style.after_clef);
        let staff = block.settings.staff;
        place_phrase(canvas, context, staff, phrase, left, context.place(block.span));
    }
}

fn bar_number(canvas: &mut Canvas<'_>, context: &Context<'_>, staff: Staff, bar: &PlacedBar<'_>) {
    let points = context.style.bar_number_pt;
    let number = (bar.index + 1).to_string();
    let (run, width) = context.words(&number, FaceStyle::Italic, points);
    let top = canvas.skyline.top(0.0, width, staff_edges(staff).0);
    canvas.push(context.text(Kind::BarNumber, run, 0.0, top - 0.45, points));
}

/// Brackets over endings: from the ending's bar up to the next ending, or to the repeat or double
/// line that closes it. All endings of a line stand at one height.
fn endings(canvas: &mut Canvas<'_>, context: &Context<'_>, staff: Staff, bars: &[PlacedBar<'_>]) {
    let starts = |bar: &PlacedBar<'_>| {
        bar.bar.marks.iter().find_map(|m| match &m.kind {
            MarkKind::Ending(passes) => Some((passes.clone(), context.place(m.span))),
            _ => None,
        })
    };
    let mut spans = Vec::new();
    let mut index = 0;
    while let Some(bar) = bars.get(index) {
        let Some((passes, place)) = starts(bar) else {
            index += 1;
            continue;
        };
        let mut last = index;
        while bars.get(last).is_some_and(|b| b.bar.closing == Closing::Single)
            && bars.get(last + 1).is_some_and(|b| starts(b).is_none())
        {
            last += 1;
        }
        let right = bars.get(last).map_or(bar.right, |b| b.right);
        let closed =
            bars.get(last).is_some_and(|b| matches!(b.bar.closing, Closing::Repeat { .. }));
        spans.push((bar.left, right, passes, closed, place));
        index = last + 1;
    }
    let (Some(left), Some(right)) =
        (spans.iter().map(|s| s.0).reduce(f64::min), spans.iter().map(|s| s.1).reduce(f64::max))
    else {
        return;
    };
    let points = context.style.words_pt;
    let size = context.pt(points);
    let height = context.fonts.text.cap_height(FaceStyle::Regular) * size + 0.7;
    let bottom = canvas.skyline.top(left, right, staff_edges(staff).0) - context.style.stack_gap;
    let top = bottom - height;
    let thickness = context.fonts.music.defaults().repeat_ending_line_thickness;
    for (left, right, passes, closed, place) in spans {
        let mut rects = vec![
            Rect::new(left, top, right - ENDING_GAP, top + thickness),
            Rect::new(left, top, left + thickness, bottom),
        ];
        if closed {
            rects.push(Rect::new(right - ENDING_GAP - thickness, top, right - ENDING_GAP, bottom));
        }
        for rect in rects {
            canvas.push_at(Mark::new(Kind::Ending, Shape::Box(rect)), place);
        }
        let (run, _) = context.words(&format!("{passes}."), FaceStyle::Regular, points);
        canvas.push_at(context.text(Kind::Ending, run, left + 0.5, bottom - 0.15, points), place);
    }
}
