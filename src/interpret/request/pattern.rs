//! Cells that stand in the value of a line.

use crate::interpret::divisions::DividedSpan;
use crate::interpret::letters::LetterMeaning;
use crate::interpret::place::{Act, CellHit, CellPlacer, Event, PlacedCells};
use crate::interpret::ruler::Extent;
use crate::score::{HitsRow, Kit, Span, Time};
use crate::source::Diagnostics;
use crate::syntax::tree::CellGroup;

/// Groups of cells, each laid over a whole note.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Pattern {
    /// In order; at least one.
    groups: Vec<PlacedCells>,
}

impl Pattern {
    /// Groups of a beat each, with letters of a kit; nothing where they make no sense.
    pub(crate) fn of_groups(read: &[CellGroup], kit: &Kit) -> Option<Self> {
        let mut reported = Diagnostics::default();
        let mut placer = CellPlacer::new(kit, LetterMeaning::Play, HitsRow::Play.as_str());
        let extent = Extent { start: Time::ZERO, end: Time::WHOLE };
        let mut groups = Vec::with_capacity(read.len());
        for group in read {
            if group.spread.is_some() {
                return None;
            }
            let mut placed = PlacedCells::default();
            placer.group(&group.cells, extent, group.span, &mut placed, &mut reported);
            groups.push(placed);
        }
        (!groups.is_empty() && !reported.has_errors()).then_some(Self { groups })
    }

    /// Two strokes of one hand on the snare.
    pub(crate) fn diddle(kit: &Kit) -> Self {
        let snare = CellPlacer::new(kit, LetterMeaning::Play, HitsRow::Play.as_str()).snare_hit();
        Self::of_cells(vec![vec![Some(CellHit { strokes: 1, ..snare })]])
    }

    /// A pattern of beats of equal cells, each struck or silent.
    pub(crate) fn of_cells(beats: Vec<Vec<Option<CellHit>>>) -> Self {
        let group = |cells: Vec<Option<CellHit>>| {
            let count = cells.len() as i64;
            let mut group = PlacedCells::default();
            for (index, cell) in (0..).zip(cells) {
                group.events.push(Event {
                    at: Time::WHOLE * index / count,
                    end: Time::WHOLE * (index + 1) / count,
                    lasts: None,
                    act: cell.map_or(Act::Silence, Act::Hit),
                    span: Span::default(),
                });
            }
            let whole = DividedSpan {
                start: Time::ZERO,
                length: Time::WHOLE,
                inner: Vec::new(),
                across: None,
            };
            group.stretches.push(whole);
            group
        };
        Self { groups: beats.into_iter().map(group).collect() }
    }

    /// How many beats it takes.
    pub(crate) fn beats(&self) -> usize {
        self.groups.len()
    }

    /// Whether it has one silent cell in each beat and no other.
    pub(crate) fn is_silent(&self) -> bool {
        let silent = |event: &Event| event.act == Act::Silence;
        self.groups.iter().all(|group| group.events.iter().all(silent))
    }

    /// Lays the group of a beat, counted on past the last from the first again, over a stretch.
    pub(crate) fn lay(&self, beat: usize, start: Time, length: Time, placed: &mut PlacedCells) {
        let Some(group) = self.groups.get(beat % self.groups.len().max(1)) else { return };
        let at = |time: Time| start + length * time.ratio(Time::WHOLE);
        placed.events.extend(group.events.iter().map(|event| Event {
            at: at(event.at),
            end: at(event.end),
            ..event.clone()
        }));
        placed.stretches.extend(group.stretches.iter().map(|s| s.laid(&at)));
    }
}

impl DividedSpan {
    /// The same stretch at other times.
    fn laid(&self, at: &dyn Fn(Time) -> Time) -> Self {
        let start = at(self.start);
        Self {
            start,
            length: at(self.start + self.length) - start,
            inner: self.inner.iter().map(|s| s.laid(at)).collect(),
            across: None,
        }
    }
}
