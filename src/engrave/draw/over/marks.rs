//! All that stands over a line of music, from the notes outwards.

use super::baseline::{BaselineItem, Reach};
use super::inscription::{INSCRIPTION_LEAN, Inscription};
use super::section::{SECTION_PAD, section};
use super::{bar_numbers, baseline, endings, gradual, heading, phrases, sticking};
use crate::drawing::Kind;
use crate::engrave::draw::canvas::Canvas;
use crate::engrave::draw::carried::Carried;
use crate::engrave::draw::placed_bar::PlacedBar;
use crate::engrave::engraver::Engraver;
use crate::engrave::place::BlockPlace;
use crate::engrave::space::pauses::end_of_beat;
use crate::engrave::staff::staff_edges;
use crate::font::Glyph;
use crate::score::block_layout::SectionSign;
use crate::score::mark::{FeelMark, FormMark, NoteMark, TempoMark};
use crate::score::{Block, Mark, MarkKind, PlayerPart, Time};

/// From a barline to the middle of a sign over it (no source).
const SIGN_INSET: f64 = 0.8;
/// From the middle of a breath or caesura to the ink of the note or the barline after it (no
/// source).
const PAUSE_ROOM: f64 = 0.9;
/// How far a caesura reaches into the staff (no source).
const CAESURA_DEPTH: f64 = 0.9;
/// More than half the thickness of a staff line.
const STAFF_LINE: f64 = 0.15;

/// What is drawn of a mark.
enum OverStaff {
    /// A glyph over its note or at the end of its beat, with its middle at an x.
    Glyph(Glyph, f64),
    /// Words right over the notes.
    Words(BaselineItem),
    /// Segno, coda, or a direction at the end of its bar.
    Sign(BaselineItem),
    /// A section letter, tempo or feel.
    Head(BaselineItem),
    /// Nothing here: endings and phrases have brackets that span bars, gradual changes dashes that do, and
    /// line breaks are not seen.
    Nothing,
}

/// Draws everything over a line, over the staff of a block's first player.
pub fn draw(
    canvas: &mut Canvas<'_>,
    block: &Block,
    place: BlockPlace,
    carried: Carried<'_>,
    bars: &[PlacedBar<'_>],
) {
    let engraver = canvas.engraver;
    let staff = block.part.settings.staff;
    let top = staff_edges(staff).0;
    let reach = reach(place, bars);
    let sections = block.settings.layout.sections;
    sticking::draw(canvas, &block.part, bars);
    bar_numbers::of_every_bar(canvas, block, bars);
    let mut over = Over::of(canvas, top, sections, bars);
    let first_line = bars.first().is_some_and(|bar| bar.index == 0);
    if first_line && place.edges.heading {
        over.heads.splice(0..0, heading::over(engraver, block, bars));
    }
    over.heads.extend(gradual::items(engraver, carried, bars));
    let inner = baseline::draw(canvas, over.words, reach, top, top);
    phrases::draw(canvas, &block.part, bars);
    endings::draw(canvas, &block.part, carried, bars);
    let inner = baseline::draw(canvas, over.signs, reach, top, inner);
    baseline::draw(canvas, over.heads, reach, top, inner);
    bar_numbers::of_line(canvas, block, bars);
}

/// Draws what is one further player's own over that player's staff.
pub fn draw_own(
    canvas: &mut Canvas<'_>,
    part: &PlayerPart,
    place: BlockPlace,
    bars: &[PlacedBar<'_>],
) {
    let top = staff_edges(part.settings.staff).0;
    let reach = reach(place, bars);
    sticking::draw(canvas, part, bars);
    // Section letters hold for all players, and stand over the first.
    let over = Over::of(canvas, top, SectionSign::Boxed, bars);
    let inner = baseline::draw(canvas, over.words, reach, top, top);
    phrases::draw(canvas, part, bars);
    let inner = baseline::draw(canvas, over.signs, reach, top, inner);
    baseline::draw(canvas, over.heads, reach, top, inner);
}

fn reach(place: BlockPlace, bars: &[PlacedBar<'_>]) -> Reach {
    let line = bars.last().map_or(0.0, |bar| bar.right);
    Reach { line, room: place.width }
}

/// What marks come to that stand on baselines; others are drawn as they are found.
#[derive(Default)]
struct Over {
    words: Vec<BaselineItem>,
    signs: Vec<BaselineItem>,
    heads: Vec<BaselineItem>,
}

impl Over {
    fn of(
        canvas: &mut Canvas<'_>,
        top: f64,
        sections: SectionSign,
        bars: &[PlacedBar<'_>],
    ) -> Self {
        let engraver = canvas.engraver;
        let mut over = Self::default();
        for (bar, mark) in bars.iter().flat_map(|bar| bar.bar.marks.iter().map(move |m| (bar, m))) {
            match over_staff(engraver, (sections, bar), mark) {
                OverStaff::Glyph(glyph, x) => glyph_over(canvas, top, glyph, x, mark),
                OverStaff::Words(item) => over.words.push(item),
                OverStaff::Sign(item) => over.signs.push(item),
                OverStaff::Head(item) => over.heads.push(item),
                OverStaff::Nothing => {}
            }
        }
        over
    }
}

fn over_staff(
    engraver: &Engraver<'_>,
    (sections, bar): (SectionSign, &PlacedBar<'_>),
    mark: &Mark,
) -> OverStaff {
    let item = |inscription, left| BaselineItem {
        inscription,
        left,
        follows: false,
        place: Some(mark.span),
    };
    let left = bar.x(mark.at) - INSCRIPTION_LEAN;
    let head =
        |inscription| OverStaff::Head(BaselineItem { follows: true, ..item(inscription, left) });
    match &mark.kind {
        MarkKind::Note(NoteMark::Fermata) => OverStaff::Glyph(Glyph::FERMATA_ABOVE, bar.x(mark.at)),
        MarkKind::Note(NoteMark::Breath) => {
            OverStaff::Glyph(Glyph::BREATH_MARK_COMMA, pause_x(bar, mark.at))
        }
        MarkKind::Note(NoteMark::Caesura) => {
            OverStaff::Glyph(Glyph::CAESURA, pause_x(bar, mark.at))
        }
        MarkKind::Words(words) => {
            OverStaff::Words(item(Inscription::italic(engraver, words), left))
        }
        MarkKind::Number(number) => {
            let number = Inscription::italic(engraver, &number.to_string());
            OverStaff::Words(item(number, left))
        }
        MarkKind::Form(FormMark::Segno) => OverStaff::Sign(sign(engraver, bar, mark, Glyph::SEGNO)),
        MarkKind::Form(FormMark::Coda) => OverStaff::Sign(sign(engraver, bar, mark, Glyph::CODA)),
        MarkKind::Form(FormMark::Direction(direction)) => {
            let inscription = Inscription::direction(engraver, *direction);
            let left = bar.right - inscription.width;
            OverStaff::Sign(item(inscription, left))
        }
        MarkKind::Form(FormMark::Section(letter)) => {
            let left = match (mark.at == Time::ZERO, bar.first_of_line) {
                (true, true) => 0.0,
                (true, false) => bar.left,
                (false, _) => bar.x(mark.at) - SECTION_PAD,
            };
            OverStaff::Head(item(section(engraver, letter, sections), left))
        }
        MarkKind::Tempo(TempoMark::New(tempo)) if !tempo.printed => OverStaff::Nothing,
        MarkKind::Tempo(TempoMark::New(tempo)) => head(Inscription::tempo(engraver, tempo)),
        MarkKind::Feel(FeelMark::Swing(swing)) => head(Inscription::swing(engraver, swing)),
        MarkKind::Feel(FeelMark::Straight) => head(Inscription::italic(engraver, "straight")),
        MarkKind::Tempo(TempoMark::Modulation { was, now }) => {
            head(Inscription::modulation(engraver, *was, *now))
        }
        MarkKind::Tempo(TempoMark::ATempo) => head(Inscription::italic(engraver, "a tempo")),
        MarkKind::Form(FormMark::Ending(_))
        | MarkKind::Tempo(TempoMark::Gradual(_))
        | MarkKind::Layout(_)
        | MarkKind::Phrase(_) => OverStaff::Nothing,
    }
}

/// A segno or a coda over its note, or over the barline its bar begins with.
fn sign(engraver: &Engraver<'_>, bar: &PlacedBar<'_>, mark: &Mark, glyph: Glyph) -> BaselineItem {
    let x = if mark.at == Time::ZERO { bar.left + SIGN_INSET } else { bar.x(mark.at) };
    let bounds = engraver.fonts.music.bounds(glyph);
    let shape = engraver.glyph(Kind::Sign, glyph, -bounds.x0, -bounds.y1);
    let inscription = Inscription { marks: vec![shape], width: bounds.width() };
    let left = x - bounds.width() / 2.0;
    BaselineItem { inscription, left, follows: false, place: Some(mark.span) }
}

/// x of the middle of a breath or caesura that is written at a moment: at the end of its beat,
/// before what comes next.
fn pause_x(bar: &PlacedBar<'_>, at: Time) -> f64 {
    let end = end_of_beat(bar.bar, at);
    let columns = &bar.spaced.columns;
    let next = columns.iter().zip(&bar.columns).find(|(column, _)| column.at >= end);
    match next {
        Some((column, x)) => x - column.left - PAUSE_ROOM,
        None => bar.right - bar.spaced.closing - PAUSE_ROOM,
    }
}

fn glyph_over(canvas: &mut Canvas<'_>, staff_top: f64, glyph: Glyph, x: f64, mark: &Mark) {
    let engraver = canvas.engraver;
    let bounds = engraver.fonts.music.bounds(glyph);
    let half = bounds.width() / 2.0;
    let top = canvas.skyline.top(x - half, x + half, staff_top);
    // A caesura crosses the top line of the staff where nothing is in its way.
    let y = match glyph == Glyph::CAESURA && top > staff_top - STAFF_LINE {
        true => staff_top + CAESURA_DEPTH - bounds.y1,
        false => top - engraver.style.stack_gap - bounds.y1,
    };
    let origin = x - (bounds.x0 + bounds.x1) / 2.0;
    let glyph = engraver.glyph(Kind::Articulation, glyph, origin, y);
    canvas.push_at(glyph, Some(mark.span));
}
