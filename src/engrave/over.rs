//! What stands over the staff. From the notes outwards: fermatas, words, endings, signs and
//! directions, and outermost section letters, tempo and feel. Words of a kind share one baseline in
//! a line of music (Gould, *Behind Bars*, "Tempo indications", from memory).

use super::canvas::Canvas;
use super::engraver::Engraver;
use super::inscription;
use super::inscription::Inscription;
use super::pauses;
use super::shelf;
use super::shelf::BaselineItem;
use super::system::{PlacedBar, staff_edges};
use crate::drawing::{Kind, Mark, Shape};
use crate::font::{FaceStyle, Glyph};
use crate::score::Time;
use crate::score::mark;
use crate::score::settings::Staff;
use crate::score::{Bar, Block, Closing, MarkKind};
use crate::source::Span;
use kurbo::Rect;

/// How far to the left of its note's centre an inscription begins.
const INSCRIPTION_LEAN: f64 = 0.6;
/// From a barline to the middle of a sign over it.
const SIGN_INSET: f64 = 0.8;

/// Draws everything over a line.
pub fn draw(
    canvas: &mut Canvas<'_>,
    engraver: &Engraver<'_>,
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
        glyph_over(canvas, engraver, top, (Kind::Articulation, glyph), x, mark);
    }
    let shelves = [words, signs, heads];
    let mut baseline = top;
    for (index, shelf) in shelves.iter().enumerate() {
        if index == 1 {
            endings(canvas, engraver, block, bars);
        }
        let mut items: Vec<BaselineItem> = Vec::new();
        if index == 2 && first_line {
            items.extend(heading(engraver, block, bars));
        }
        items.extend(marks().filter_map(|(bar, mark)| shelf(engraver, bar, mark)));
        baseline = shelf::draw(canvas, engraver, items, width, top, baseline);
    }
    if !first_line
        && let Some(bar) = bars.first()
        && !is_numbered(bar.bar)
    {
        bar_number(canvas, engraver, staff, bar);
    }
}

/// From the end of an ending's bracket to its barline.
const ENDING_GAP: f64 = 0.5;

/// Words right over the notes.
fn words(engraver: &Engraver<'_>, bar: &PlacedBar<'_>, mark: &mark::Mark) -> Option<BaselineItem> {
    let MarkKind::Words(words) = &mark.kind else { return None };
    let inscription = italic(engraver, words);
    Some(item(engraver, inscription, bar.x(mark.at) - INSCRIPTION_LEAN, mark))
}

/// Segno, coda, and directions at the end of their bar.
fn signs(engraver: &Engraver<'_>, bar: &PlacedBar<'_>, mark: &mark::Mark) -> Option<BaselineItem> {
    let x = if mark.at == Time::ZERO { bar.left + SIGN_INSET } else { bar.x(mark.at) };
    let glyph = |glyph: Glyph| {
        let bounds = engraver.fonts.music.bounds(glyph);
        let shape = engraver.glyph(Kind::Sign, glyph, -bounds.x0, -bounds.y1);
        let inscription = Inscription { marks: vec![shape], width: bounds.width() };
        item(engraver, inscription, x - bounds.width() / 2.0, mark)
    };
    match &mark.kind {
        MarkKind::Segno => Some(glyph(Glyph::SEGNO)),
        MarkKind::Coda => Some(glyph(Glyph::CODA)),
        MarkKind::Direction(words) => {
            let inscription = italic(engraver, words);
            let left = bar.right - inscription.width;
            Some(item(engraver, inscription, left, mark))
        }
        _ => None,
    }
}

/// Section letters, tempo and feel.
fn heads(engraver: &Engraver<'_>, bar: &PlacedBar<'_>, mark: &mark::Mark) -> Option<BaselineItem> {
    let at_start = mark.at == Time::ZERO;
    let inscription = match &mark.kind {
        MarkKind::Section(letter) => {
            let left = match (at_start, bar.first_of_line) {
                (true, true) => 0.0,
                (true, false) => bar.left,
                (false, _) => bar.x(mark.at) - SECTION_PAD,
            };
            return Some(item(engraver, section(engraver, letter), left, mark));
        }
        MarkKind::Tempo(tempo) => Inscription::tempo(engraver, tempo),
        MarkKind::Swing(swing) => Inscription::swing(engraver, swing),
        MarkKind::Straight => italic(engraver, "straight"),
        MarkKind::Modulation { was, now } => Inscription::modulation(engraver, *was, *now),
        _ => return None,
    };
    let left = bar.x(mark.at) - INSCRIPTION_LEAN;
    Some(BaselineItem { follows: true, ..item(engraver, inscription, left, mark) })
}

fn italic(engraver: &Engraver<'_>, words: &str) -> Inscription {
    let mut inscription = Inscription::default();
    inscription.text(engraver, Kind::Words, words, FaceStyle::Italic);
    inscription
}

fn item(
    engraver: &Engraver<'_>,
    inscription: Inscription,
    left: f64,
    mark: &mark::Mark,
) -> BaselineItem {
    BaselineItem { inscription, left, follows: false, place: engraver.place(mark.span) }
}

/// From a section letter to its frame.
const SECTION_PAD: f64 = 0.45;
/// Size of section letters against tempo words.
const SECTION_SIZE: f64 = 1.15;

/// A letter in a frame.
fn section(engraver: &Engraver<'_>, letter: &str) -> Inscription {
    let points = engraver.style.tempo_pt * SECTION_SIZE;
    let (run, width) = engraver.words(letter, FaceStyle::Bold, points);
    let height = engraver.fonts.text.cap_height(FaceStyle::Bold) * engraver.pt(points);
    let side = (height + 2.0 * SECTION_PAD).max(width + 2.0 * SECTION_PAD);
    let rect = Rect::new(0.0, -height - SECTION_PAD, side, SECTION_PAD);
    let thickness = engraver.fonts.music.defaults().text_enclosure_thickness;
    let frame = inscription::frame(rect, thickness).into_iter();
    let mut marks: Vec<Mark> =
        frame.map(|path| Mark::new(Kind::Section, Shape::Path(path))).collect();
    marks.push(engraver.text(Kind::Section, run, (side - width) / 2.0, 0.0, points));
    Inscription { marks, width: side }
}

/// How far a caesura reaches into the staff.
const CAESURA_DEPTH: f64 = 0.9;
/// More than half the thickness of a staff line.
const STAFF_LINE: f64 = 0.15;

fn glyph_over(
    canvas: &mut Canvas<'_>,
    engraver: &Engraver<'_>,
    staff_top: f64,
    (kind, glyph): (Kind, Glyph),
    x: f64,
    mark: &mark::Mark,
) {
    let bounds = engraver.fonts.music.bounds(glyph);
    let half = bounds.width() / 2.0;
    let top = canvas.skyline.top(x - half, x + half, staff_top);
    // A caesura crosses the top line of the staff where nothing is in its way.
    let y = match glyph == Glyph::CAESURA && top > staff_top - STAFF_LINE {
        true => staff_top + CAESURA_DEPTH - bounds.y1,
        false => top - engraver.style.stack_gap - bounds.y1,
    };
    let origin = x - (bounds.x0 + bounds.x1) / 2.0;
    canvas.push_at(engraver.glyph(kind, glyph, origin, y), engraver.place(mark.span));
}

/// Tempo and feel at the head of a block, over its time signature.
fn heading(engraver: &Engraver<'_>, block: &Block, bars: &[PlacedBar<'_>]) -> Vec<BaselineItem> {
    let left = bars.first().map_or(0.0, |b| b.left + engraver.style.after_clef);
    let tempo = block.settings.tempo.as_ref().map(|tempo| Inscription::tempo(engraver, tempo));
    let swing = block.settings.swing.as_ref().map(|swing| Inscription::swing(engraver, swing));
    let place = engraver.place(block.span);
    let inscriptions = tempo.into_iter().chain(swing);
    inscriptions
        .map(|inscription| BaselineItem { inscription, left, follows: true, place })
        .collect()
}

/// Whether a bar has a number of its own over it, as the items of a series.
fn is_numbered(bar: &Bar) -> bool {
    bar.marks.iter().any(|mark| match &mark.kind {
        MarkKind::Words(words) => words.parse::<u32>().is_ok(),
        _ => false,
    })
}

fn bar_number(canvas: &mut Canvas<'_>, engraver: &Engraver<'_>, staff: Staff, bar: &PlacedBar<'_>) {
    let points = engraver.style.bar_number_pt;
    let number = (bar.index + 1).to_string();
    let (run, width) = engraver.words(&number, FaceStyle::Italic, points);
    let top = canvas.skyline.top(0.0, width, staff_edges(staff).0);
    canvas.push(engraver.text(Kind::BarNumber, run, 0.0, top - 0.45, points));
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
fn endings(
    canvas: &mut Canvas<'_>,
    engraver: &Engraver<'_>,
    block: &Block,
    bars: &[PlacedBar<'_>],
) {
    let staff = block.settings.staff;
    let mut spans = Vec::new();
    let mut index = 0;
    while let Some(bar) = bars.get(index) {
        let begun = match ending(bar.bar) {
            Some((passes, span)) => Some((Some(passes), engraver.place(span))),
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
    let points = engraver.style.words_pt;
    let size = engraver.pt(points);
    let height = engraver.fonts.text.cap_height(FaceStyle::Regular) * size + 0.7;
    let bottom = canvas.skyline.top(left, right, staff_edges(staff).0) - engraver.style.stack_gap;
    let top = bottom - height;
    let thickness = engraver.fonts.music.defaults().repeat_ending_line_thickness;
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
        let (run, _) = engraver.words(&format!("{passes}."), FaceStyle::Regular, points);
        canvas.push_at(engraver.text(Kind::Ending, run, left + 0.5, bottom - 0.15, points), place);
    }
}
