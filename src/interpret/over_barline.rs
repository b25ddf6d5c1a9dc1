//! Groups that go on over a barline: `sss|ss:2`. Their cells share the time of the beats they take in both
//! bars; the cell over which the barline falls goes on after it.

use super::codes;
use super::divisions::DividedSpan;
use super::place::{Act, CellPlacer, Event, OverBarline, PlacedCells};
use super::ruler::{Extent, Ruler};
use crate::score::Time;
use crate::score::division::Across;
use crate::source::say::{self, RowBar};
use crate::source::{Diagnostics, Span};
use crate::syntax::tree::{AcrossPart, Cell, CellGroup, CellKind};
use crate::syntax::written;

/// A part of a group over a barline at its place in a bar.
pub(crate) struct PlacedPart<'p> {
    pub(crate) group: &'p CellGroup,
    pub(crate) part: AcrossPart,
    /// Its time in the bar.
    pub(crate) extent: Extent,
    pub(crate) place: RowBar<'p>,
}

impl PlacedPart<'_> {
    fn across(&self, cell: Time) -> Option<(Across, Time)> {
        let number = u32::try_from(self.part.before + self.part.after).ok()?;
        Some((Across { number, side: self.part.side }, cell))
    }

    /// Places the cells before the barline, with which the bar ends. `start` is its time from the start of
    /// the meter, `after` the cells that follow.
    pub(crate) fn before(
        &self,
        placer: &mut CellPlacer<'_>,
        (ruler, start): (&Ruler, Time),
        after: &[Cell],
        placed: &mut PlacedCells,
        diagnostics: &mut Diagnostics,
    ) {
        let Extent { start: at, end } = self.extent;
        let total = ruler.after(start, self.part.spread) - start;
        let cells = &self.group.cells;
        let count = (self.part.before + self.part.after).max(1) as i64;
        let cell = total / count;
        let fits = self.check_left(end - at, total, diagnostics)
            && self.check_line(after, (end - at, cell), diagnostics);
        if !fits {
            return;
        }
        let ends = at + cell * cells.len() as i64;
        let over = ends > end;
        let (whole, last) = match cells.split_last() {
            Some((last, whole)) if over => (whole, Some(last)),
            Some(_) | None => (&cells[..], None),
        };
        let extent = Extent { start: at, end: at + cell * whole.len() as i64 };
        let inner = placer.part(whole, extent, self.group.span, &mut placed.events, diagnostics);
        let mut rest = None;
        if let Some(last) = last {
            let first = Extent { start: extent.end, end };
            let one = std::slice::from_ref(last);
            let act = match &last.kind {
                CellKind::Silence | CellKind::Slash | CellKind::Split(_) => Act::Silence,
                CellKind::Hold | CellKind::Hit(_) => Act::Hold,
                CellKind::TiedHold => Act::Tie,
            };
            match &last.kind {
                CellKind::TiedHold => placed.events.push(Event {
                    at: first.start,
                    end,
                    lasts: None,
                    act: Act::Hold,
                    span: last.span,
                }),
                CellKind::Split(_) => self.split(last.span, diagnostics),
                CellKind::Silence | CellKind::Slash | CellKind::Hold | CellKind::Hit(_) => {
                    placer.part(one, first, last.span, &mut placed.events, diagnostics);
                }
            }
            let at = Time::ZERO;
            rest = Some(Event { at, end: ends - end, lasts: None, act, span: last.span });
        }
        let across = self.across(cell);
        placed.stretches.push(DividedSpan { start: at, length: end - at, inner, across });
        placer.over = Some(OverBarline { cell, left: total - (end - at), rest });
    }

    /// Places the cells after the barline, with which the bar begins.
    pub(crate) fn after(
        &self,
        placer: &mut CellPlacer<'_>,
        over: OverBarline,
        placed: &mut PlacedCells,
        diagnostics: &mut Diagnostics,
    ) {
        let Extent { start, end } = self.extent;
        let mut at = start;
        if let Some(rest) = over.rest {
            at = start + rest.end;
            placed.events.push(Event { at: start, end: at, ..rest });
        }
        let (cells, span) = (&self.group.cells, self.group.span);
        let inner =
            placer.part(cells, Extent { start: at, end }, span, &mut placed.events, diagnostics);
        let across = self.across(over.cell);
        placed.stretches.push(DividedSpan { start, length: end - start, inner, across });
    }

    /// Whether the group reaches over the barline: some of its time, and not all, is left in the bar.
    fn check_left(&self, left: Time, total: Time, diagnostics: &mut Diagnostics) -> bool {
        if left > Time::ZERO && left < total {
            return true;
        }
        let place = self.place;
        let message = match left > Time::ZERO {
            true => format!("{place}: this group ends before the barline that stands in it"),
            false => format!("{place}: the bar is full before this group over the barline"),
        };
        let mend = match left > Time::ZERO {
            true => {
                "write the number of beats it takes in both bars, as `:2`, or put spaces round the `|`"
            }
            false => "take a beat out of the bar before it, or put a `|` where that bar ends",
        };
        diagnostics.error(self.part.whole, message).code(codes::ACROSS_MISFIT).mend(mend);
        false
    }

    /// Whether the barline stands behind the cells that begin before it.
    fn check_line(
        &self,
        after: &[Cell],
        (left, cell): (Time, Time),
        diagnostics: &mut Diagnostics,
    ) -> bool {
        let begun = left.ratio(cell).ceil().to_integer();
        let begun = usize::try_from(begun).unwrap_or(usize::MAX);
        if begun == self.part.before {
            return true;
        }
        let cells: Vec<String> = self.group.cells.iter().chain(after).map(written::cell).collect();
        let (first, rest) = cells.split_at(begun.min(cells.len()));
        let spread = self.part.spread;
        let number = match spread.divided_by {
            1 => spread.beats.to_string(),
            parts => format!("{}/{parts}", spread.beats),
        };
        let text = format!("{}|{}:{number}", first.concat(), rest.concat());
        let begin = match begun {
            1 => "one cell of this group begins".to_owned(),
            n => format!("{} cells of this group begin", say::number(n)),
        };
        let mend = format!("write the `|` behind them: `{}`", say::shortened(&text));
        diagnostics
            .error(self.part.whole, format!("{}: {begin} before the barline", self.place))
            .code(codes::ACROSS_LINE)
            .replace(self.part.whole, text, mend);
        false
    }

    fn split(&self, span: Span, diagnostics: &mut Diagnostics) {
        diagnostics
            .error(span, format!("{}: the barline falls inside this split", self.place))
            .code(codes::ACROSS_SPLIT)
            .mend("write more cells in the group, so that none of them is split over the barline");
    }
}

/// Reports a group over a barline where none can be.
pub(crate) fn report_misplaced(
    part: AcrossPart,
    place: RowBar<'_>,
    again: Option<Span>,
    diagnostics: &mut Diagnostics,
) {
    let (span, message, mend) = match again {
        Some(sign) => (
            sign,
            "a group over a barline is no part of one bar that could be played again",
            "write the bar out",
        ),
        None => (
            part.whole,
            "a group over a barline needs a time signature that says where the bar ends",
            "put spaces round the `|`, or give the block a time signature",
        ),
    };
    diagnostics.error(span, format!("{place}: {message}")).code(codes::ACROSS_MISFIT).mend(mend);
}
