//! What stands over the staff. From the notes outwards: fermatas, words, endings, signs and
//! directions, and outermost section letters, tempo and feel. Words of a kind share one baseline in
//! a line of music (Gould, *Behind Bars*, "Tempo indications", from memory).

use super::canvas::Canvas;
use super::context::Context;
use super::pauses;
use super::phrase;
use super::phrase::Phrase;
use super::shelf;
use super::shelf::Item;
use super::system::{PlacedBar, staff_edges};
use crate::drawing::{Kind, Mark, Shape};
use crate::font::{FaceStyle, Glyph};
use crate::score::Time;
use crate::score::mark;
use crate::score::settings::Staff;
use crate::score::{Bar, Block, Closing, MarkKind};
use crate::source::Span;
use kurbo::Rect;

/// How far to the left of its note's centre a phrase begins.
const PHRASE_LEAN: f64 = 0.6;
/// From a barline to the middle of a sign over it.
const SIGN_INSET: f64 = 0.8;

/// Draws everything over a line.
pub fn draw(
    canvas: &mut Canvas<'_>,
    context: &Context<'_>,
    block: &Block,
    bars: &[PlacedBar<'_>],
    first_line: bool,
) {
    let staff = block.settings.staff;
    let top = staff_edges(staff).0;
    let width = bars.last().map_or(0.0, |bar| bar.right);
    let marks = || bars.iter().flat_map(|bar| bar.bar.marks.iter().map(move |mark| (bar, mark)));
    for (bar, mark) in marks() {
        let (glyph, x) = match mark.kind {
            MarkKind::Fermata => (Glyph::FERMATA_ABOVE, bar.x(mark.at)),
            MarkKind::Breath => (Glyph::BREATH_MARK_COMMA, pauses::x(bar, mark.at)),
            MarkKind::Caesura => (Glyph::CAESURA, pauses::x(bar, mark.at)),
            _ => continue,
        };
        glyph_over(canvas, context, top, (Kind::Articulation, glyph), x, mark);
    }
    let shelves = [words, signs, heads];
    let mut baseline = top;
    for (index, shelf) in shelves.iter().enumerate() {
        if index == 1 {
            endings(canvas, context, block, bars);
        }
        let mut items: Vec<Item> = Vec::new();
        if index == 2 && first_line {
            items.extend(heading(context, block, bars));
        }
        items.extend(marks().filter_map(|(bar, mark)| shelf(context, bar, mark)));
        baseline = shelf::draw(canvas, context, items, width, top, baseline);
    }
    if !first_line
        && let Some(bar) = bars.first()
        && !is_numbered(bar.bar)
    {
        bar_number(canvas, context, staff, bar);
    }
}

/// From the end of an ending's bracket to its barline.
const ENDING_GAP: f64 = 0.5;

/// Words right over the notes.
fn words(context: &Context<'_>, bar: &PlacedBar<'_>, mark: &mark::Mark) -> Option<Item> {
    let phrase = match &mark.kind {
        MarkKind::Words(words) => italic(context, words),
        MarkKind::Number(number) => italic(context, &number.to_string()),
        _ => return None,
    };
    Some(item(context, phrase, bar.x(mark.at) - PHRASE_LEAN, mark))
}

/// Segno, coda, and directions at the end of their bar.
fn signs(context: &Context<'_>, bar: &PlacedBar<'_>, mark: &mark::Mark) -> Option<Item> {
    let x = if mark.at == Time::ZERO { bar.left + SIGN_INSET } else { bar.x(mark.at) };
    let glyph = |glyph: Glyph| {
        let bounds = context.fonts.music.bounds(glyph);
        let shape = context.glyph(Kind::Sign, glyph, -bounds.x0, -bounds.y1);
        let phrase = Phrase { marks: vec![shape], width: bounds.width() };
        item(context, phrase, x - bounds.width() / 2.0, mark)
    };
    match &mark.kind {
        MarkKind::Segno => Some(glyph(Glyph::SEGNO)),
        MarkKind::Coda => Some(glyph(Glyph::CODA)),
        MarkKind::Direction(direction) => {
            let phrase = italic(context, direction.words());
            let left = bar.right - phrase.width;
            Some(item(context, phrase, left, mark))
        }
        _ => None,
    }
}

/// Section letters, tempo and feel.
fn heads(context: &Context<'_>, bar: &PlacedBar<'_>, mark: &mark::Mark) -> Option<Item> {
    let at_start = mark.at == Time::ZERO;
    let phrase = match &mark.kind {
        MarkKind::Section(letter) => {
            let left = match (at_start, bar.first_of_line) {
                (true, true) => 0.0,
                (true, false) => bar.left,
                (false, _) => bar.x(mark.at) - SECTION_PAD,
            };
            return Some(item(context, section(context, letter), left, mark));
        }
        MarkKind::Tempo(tempo) => Phrase::tempo(context, tempo),
        MarkKind::Swing(swing) => Phrase::swing(context, swing),
        MarkKind::Straight => italic(context, "straight"),
        MarkKind::Modulation { was, now } => Phrase::modulation(context, *was, *now),
        _ => return None,
    };
    let left = bar.x(mark.at) - PHRASE_LEAN;
    Some(Item { follows: true, ..item(context, phrase, left, mark) })
}

fn italic(context: &Context<'_>, words: &str) -> Phrase {
    let mut phrase = Phrase::default();
    phrase.text(context, Kind::Words, words, FaceStyle::Italic);
    phrase
}

fn item(context: &Context<'_>, phrase: Phrase, left: f64, mark: &mark::Mark) -> Item {
    Item { phrase, left, follows: false, place: context.place(mark.span) }
}

/// From a section letter to its frame.
const SECTION_PAD: f64 = 0.45;
/// Size of section letters against tempo words.
const SECTION_SIZE: f64 = 1.15;

/// A letter in a frame.
fn section(context: &Context<'_>, letter: &str) -> Phrase {
    let points = context.style.tempo_pt * SECTION_SIZE;
    let (run, width) = context.words(letter, FaceStyle::Bold, points);
    let height = context.fonts.text.cap_height(FaceStyle::Bold) * context.pt(points);
    let side = (height + 2.0 * SECTION_PAD).max(width + 2.0 * SECTION_PAD);
    let rect = Rect::new(0.0, -height - SECTION_PAD, side, SECTION_PAD);
    let thickness = context.fonts.music.defaults().text_enclosure_thickness;
    let frame = phrase::frame(rect, thickness).into_iter();
    let mut marks: Vec<Mark> =
        frame.map(|path| Mark::new(Kind::Section, Shape::Path(path))).collect();
    marks.push(context.text(Kind::Section, run, (side - width) / 2.0, 0.0, points));
    Phrase { marks, width: side }
}

/// How far a caesura reaches into the staff.
const CAESURA_DEPTH: f64 = 0.9;
/// More than half the thickness of a staff line.
const STAFF_LINE: f64 = 0.15;

fn glyph_over(
    canvas: &mut Canvas<'_>,
    context: &Context<'_>,
    staff_top: f64,
    (kind, glyph): (Kind, Glyph),
    x: f64,
    mark: &mark::Mark,
) {
    let bounds = context.fonts.music.bounds(glyph);
    let half = bounds.width() / 2.0;
    let top = canvas.skyline.top(x - half, x + half, staff_top);
    // A caesura crosses the top line of the staff where nothing is in its way.
    let y = match glyph == Glyph::CAESURA && top > staff_top - STAFF_LINE {
        true => staff_top + CAESURA_DEPTH - bounds.y1,
        false => top - context.style.stack_gap - bounds.y1,
    };
    let origin = x - (bounds.x0 + bounds.x1) / 2.0;
    canvas.push_at(context.glyph(kind, glyph, origin, y), context.place(mark.span));
}

/// Tempo and feel at the head of a block, over its time signature.
fn heading(context: &Context<'_>, block: &Block, bars: &[PlacedBar<'_>]) -> Vec<Item> {
    let left = bars.first().map_or(0.0, |b| b.left + context.style.after_clef);
    let tempo = block.settings.tempo.as_ref().map(|tempo| Phrase::tempo(context, tempo));
    let swing = block.settings.swing.as_ref().map(|swing| Phrase::swing(context, swing));
    let place = context.place(block.span);
    let phrases = tempo.into_iter().chain(swing);
    phrases.map(|phrase| Item { phrase, left, follows: true, place }).collect()
}

/// Whether a bar has a number of its own over it, as the items of a series.
fn is_numbered(bar: &Bar) -> bool {
    bar.marks.iter().any(|mark| matches!(mark.kind, MarkKind::Number(_)))
}

fn bar_number(canvas: &mut Canvas<'_>, context: &Context<'_>, staff: Staff, bar: &PlacedBar<'_>) {
    let points = context.style.bar_number_pt;
    let number = (bar.index + 1).to_string();
    let (run, width) = context.words(&number, FaceStyle::Italic, points);
    let top = canvas.skyline.top(0.0, width, staff_edges(staff).0);
    canvas.push(context.text(Kind::BarNumber, run, 0.0, top - 0.45, points));
}

/// The passes of the ending that begins with a bar.
fn ending(bar: &Bar) -> Option<(&str, Span)> {
    bar.marks.iter().find_map(|mark| match &mark.kind {
        MarkKind::Ending(passes) => Some((passes.as_str(), mark.span)),
        _ => None,
    })
}

/// Whether an ending that began before a bar reaches into it.
fn ending_goes_on(block: &Block, index: usize) -> bool {
    let before = block.bars.get(..index).unwrap_or(&[]).iter().rev();
    for bar in before {
        if bar.closing != Closing::Single {
            return false;
        }
        if ending(bar).is_some() {
            return true;
        }
    }
    false
}

/// Brackets over endings: from the ending's bar up to the next ending, or to the repeat or double
/// line that closes it. All endings of a line stand at one height.
fn endings(canvas: &mut Canvas<'_>, context: &Context<'_>, block: &Block, bars: &[PlacedBar<'_>]) {
    let staff = block.settings.staff;
    let mut spans = Vec::new();
    let mut index = 0;
    while let Some(bar) = bars.get(index) {
        let begun = match ending(bar.bar) {
            Some((passes, span)) => Some((Some(passes), context.place(span))),
            None if index == 0 && ending_goes_on(block, bar.index) => Some((None, None)),
            None => None,
        };
        let Some((passes, place)) = begun else {
            index += 1;
            continue;
        };
        let mut last = index;
        while bars.get(last).is_some_and(|b| b.bar.closing == Closing::Single)
            && bars.get(last + 1).is_some_and(|b| ending(b.bar).is_none())
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
        let mut rects = vec![Rect::new(left, top, right - ENDING_GAP, top + thickness)];
        if passes.is_some() {
            rects.push(Rect::new(left, top, left + thickness, bottom));
        }
        if closed {
            rects.push(Rect::new(right - ENDING_GAP - thickness, top, right - ENDING_GAP, bottom));
        }
        for rect in rects {
            canvas.push_at(Mark::new(Kind::Ending, Shape::Box(rect)), place);
        }
        let Some(passes) = passes else { continue };
        let (run, _) = context.words(&format!("{passes}."), FaceStyle::Regular, points);
        canvas.push_at(context.text(Kind::Ending, run, left + 0.5, bottom - 0.15, points), place);
    }
}
