//! Gradual changes of the tempo: words over the staff with dashes up to the mark that ends them. On a
//! further line the words stand again, in brackets (Gould, *Behind Bars*, "Tempo indications", from
//! memory).

use super::baseline::{BaselineItem, ROOM};
use super::inscription::{INSCRIPTION_LEAN, Inscription};
use crate::drawing::{Kind, Mark, Shape};
use crate::engrave::draw::carried::Carried;
use crate::engrave::draw::placed_bar::PlacedBar;
use crate::engrave::engraver::Engraver;
use crate::engrave::measure::dashes::{BEFORE_DASHES, dashes};
use crate::font::FaceStyle;
use crate::score::mark::{TempoChange, TempoMark};
use crate::score::{MarkKind, Span};

/// How high the middle of a dash stands over the baseline, of the height of capitals: half that of small
/// letters (no source).
const DASH_HEIGHT: f64 = 0.35;

/// A change as it begins on a line.
struct Begun {
    change: TempoChange,
    left: f64,
    /// It comes from the line before.
    goes_on: bool,
    span: Span,
}

/// The changes of a line with their dashes.
pub fn items(
    engraver: &Engraver<'_>,
    carried: Carried<'_>,
    bars: &[PlacedBar<'_>],
) -> Vec<BaselineItem> {
    let mut items = Vec::new();
    let mut begun = from_before(carried, bars);
    let tempos = bars.iter().flat_map(|bar| bar.bar.marks.iter().map(move |mark| (bar, mark)));
    for (bar, mark) in tempos.filter(|(_, mark)| mark.kind.says_tempo()) {
        let left = bar.x(mark.at) - INSCRIPTION_LEAN;
        if let Some(before) = begun.take() {
            items.extend(before.up_to(engraver, left - 2.0 * ROOM));
        }
        if let MarkKind::Tempo(TempoMark::Gradual(change)) = mark.kind {
            begun = Some(Begun { change, left, goes_on: false, span: mark.span });
        }
    }
    if let (Some(begun), Some(last)) = (begun, bars.last()) {
        items.extend(begun.up_to(engraver, last.right - last.spaced.closing));
    }
    items
}

/// The change that comes from the lines before.
fn from_before(carried: Carried<'_>, bars: &[PlacedBar<'_>]) -> Option<Begun> {
    let first = bars.first()?;
    let last = carried.tempo?;
    let MarkKind::Tempo(TempoMark::Gradual(change)) = last.kind else { return None };
    let left = first.columns.first().map_or(first.left, |x| x - INSCRIPTION_LEAN);
    Some(Begun { change, left, goes_on: true, span: last.span })
}

impl Begun {
    /// The change up to an x; nothing where it comes from the line before and ends before its words would.
    fn up_to(&self, engraver: &Engraver<'_>, right: f64) -> Option<BaselineItem> {
        let mut inscription = Inscription::default();
        let words = match self.goes_on {
            true => format!("({})", self.change.words()),
            false => self.change.words().to_owned(),
        };
        inscription.text(engraver, Kind::Gradual, &words, FaceStyle::Italic);
        if self.goes_on && self.left + inscription.width > right {
            return None;
        }
        let size = engraver.pt(engraver.points(engraver.style.tempo));
        let y = -engraver.fonts.text.cap_height(FaceStyle::Italic) * size * DASH_HEIGHT;
        let thickness = engraver.fonts.music.defaults().hairpin_thickness;
        let from = inscription.width + BEFORE_DASHES;
        for dash in dashes(from, right - self.left, y, thickness) {
            inscription.width = inscription.width.max(dash.x1);
            inscription.marks.push(Mark::new(Kind::Gradual, Shape::Box(dash)));
        }
        let (left, place) = (self.left, Some(self.span));
        Some(BaselineItem { inscription, left, follows: false, place })
    }
}
