//! Groups over a barline in music that is made, and as text.

use super::cells::{Finder, RowCell, Timed};
use super::phrase::{GridSpan, Phrase};
use crate::interpret::compose::BarFrame;
use crate::interpret::divisions::DividedSpan;
use crate::interpret::place::{Act, Event, PlacedCells};
use crate::score::division::{Across, BarlineSide};
use crate::score::{Closing, Time};

impl Phrase {
    /// Beats and the groups spread over several of them, each with the division all its notes lie
    /// on.
    pub(super) fn cut(&self, spread: &[(Time, Time, i64)]) -> Vec<GridSpan> {
        let beats = self.beats();
        let lines = self.barlines();
        let mut spans = Vec::new();
        let mut at = 0;
        while let Some((start, length, _)) = beats.get(at) {
            let here = spread.partition_point(|(from, ..)| from < start);
            let here = spread[here..].iter().take_while(|(from, ..)| from == start);
            let wide = here.into_iter().find_map(|(_, long, parts)| {
                let reach = beats[at..]
                    .iter()
                    .scan(Time::ZERO, |sum, (_, beat, _)| {
                        *sum += *beat;
                        Some(*sum)
                    })
                    .take_while(|sum| sum <= long)
                    .position(|sum| sum == *long)?;
                let may = may_go_on(&lines, *start, *start + *long);
                (reach > 0 && may && parts.count_ones() > 1).then_some((*long, reach + 1, *parts))
            });
            let (length, count, least) = wide.unwrap_or((*length, 1, 1));
            spans.push(GridSpan {
                start: *start,
                length,
                parts: self.division(*start, length, least),
                beats: count,
                written: least,
            });
            at += count;
        }
        spans
    }

    /// The barlines inside of it by time, and whether a group may go on over each: a plain one between bars of
    /// one time that are both written out.
    fn barlines(&self) -> Vec<(Time, bool)> {
        let mut at = Time::ZERO;
        let pair = |pair: &[BarFrame]| {
            let [before, after] = pair else { return (at, false) };
            at += before.length;
            let plain = before.closing == Closing::Single && !after.repeat_start;
            let written = !before.same && !after.same;
            (at, plain && written && before.meter == after.meter)
        };
        let mut lines: Vec<(Time, bool)> = self.bars.windows(2).map(pair).collect();
        for (at, may) in &mut lines {
            *may &= !self.attached.says_by_key(*at);
        }
        lines
    }

    /// Lets notes that are tied over the barline inside a group end as cells of a group do, which is not
    /// written.
    pub(super) fn unpin_over_barlines(&mut self) {
        let lines = self.barlines();
        for span in self.spans.iter().filter(|span| span.beats > 1) {
            let Some(line) = line_in(&lines, *span) else { continue };
            let cell = span.written_cell();
            let first = self.notes.partition_point(|note| note.at < span.start);
            let own = self.notes.iter_mut().skip(first).take_while(|note| note.at < line);
            for note in own.filter(|note| note.until.is_some_and(|until| until > line)) {
                let cells = (note.at - span.start).ratio(cell);
                let end = span.start + cell * (cells.floor().to_integer() + 1);
                if note.until == Some(end) && !note.tied {
                    note.until = None;
                }
            }
        }
    }
}

/// The one barline inside a group, where it may go on over it.
fn line_in(lines: &[(Time, bool)], span: GridSpan) -> Option<Time> {
    let first = lines.partition_point(|(at, _)| *at <= span.start);
    let mut inside = lines.iter().skip(first).take_while(|(at, _)| *at < span.end());
    let (line, may) = inside.next()?;
    (*may && inside.next().is_none()).then_some(*line)
}

/// Whether a group that would go on over barlines may.
fn may_go_on(lines: &[(Time, bool)], start: Time, end: Time) -> bool {
    let first = lines.partition_point(|(at, _)| *at <= start);
    let mut inside = lines.iter().skip(first).take_while(|(at, _)| *at < end);
    inside.next().is_none_or(|(_, may)| *may) && inside.next().is_none()
}

/// The cells of a group that goes on over a barline, and how many stand before it; nothing where plain cells of
/// the beats say what the row plays.
pub(super) fn cells(
    times: &[Timed],
    span: GridSpan,
    line: Time,
    full_rests: bool,
    finder: &mut Finder,
) -> Option<(Vec<RowCell>, usize)> {
    let here = times.partition_point(|time| time.at < span.start);
    let own = times.iter().skip(here).take_while(|time| time.at < span.end());
    let plain = |at: Time| {
        let under = (at - span.start).denominator();
        under & (under - 1) == 0
    };
    if own.clone().all(|time| plain(time.at) && time.until.is_none_or(plain)) {
        return None;
    }
    let equal = equal(times, here, span);
    let stretch = (span.start, span.length);
    let cells = equal.or_else(|| finder.cells(times, stretch, full_rests))?;
    let cell = span.length / (cells.len().max(1) as i64);
    let before = usize::try_from((line - span.start).ratio(cell).ceil().to_integer()).ok()?;
    (before < cells.len()).then_some((cells, before))
}

/// The cells of a row, as many as the group was written in, where nothing begins or ends inside of one.
fn equal(times: &[Timed], here: usize, span: GridSpan) -> Option<Vec<RowCell>> {
    let mut cells = Vec::new();
    let mut next = here;
    for index in 0..span.written {
        let at = span.start + span.written_cell() * index;
        let end = at + span.written_cell();
        let before =
            next.checked_sub(1).and_then(|last| times.get(last)).and_then(|time| time.until);
        match times.get(next) {
            Some(time) if time.at == at => {
                if time.until.is_some_and(|until| until <= end) {
                    return None;
                }
                cells.push(RowCell::Hit(next));
                next += 1;
            }
            Some(time) if time.at < end => return None,
            Some(_) | None => cells.push(match before {
                Some(until) if until >= end => RowCell::Hold,
                Some(until) if until > at => return None,
                Some(_) | None => RowCell::Silence,
            }),
        }
        if times.get(next).is_some_and(|time| time.at < end) {
            return None;
        }
    }
    Some(cells)
}

/// Cuts what a row plays at the end of a bar: what belongs to a group over the barline after it, of some cells
/// and a length, is placed from the start of the next bar.
pub(super) fn cut_at(
    placed: &mut PlacedCells,
    (cells, length): (usize, Time),
    line: Time,
) -> PlacedCells {
    let number = u32::try_from(cells).unwrap_or(u32::MAX);
    let cell = length / i64::from(number.max(1));
    let across = |side| Some((Across { number, side }, cell));
    let mut rest = PlacedCells::default();
    let mut kept = Vec::with_capacity(placed.events.len());
    for mut event in std::mem::take(&mut placed.events) {
        if event.end > line {
            let at = event.at.max(line) - line;
            let goes_on = event.at < line;
            let act = match &event.act {
                Act::Hit(_) if goes_on => Act::Hold,
                act => act.clone(),
            };
            rest.events.push(Event {
                at,
                end: event.end - line,
                lasts: None,
                act,
                span: event.span,
            });
            if !goes_on {
                continue;
            }
            event.end = line;
            if event.act == Act::Tie {
                event.act = Act::Hold;
            }
        }
        kept.push(event);
    }
    placed.events = kept;
    if let Some(stretch) = placed.stretches.pop() {
        let (before, after): (Vec<DividedSpan>, Vec<DividedSpan>) =
            stretch.inner.into_iter().partition(|inner| inner.start < line);
        let after = after.into_iter().map(|inner| moved(inner, line)).collect();
        let (start, length) = (stretch.start, line - stretch.start);
        let side = BarlineSide::Before;
        placed.stretches.push(DividedSpan { start, length, inner: before, across: across(side) });
        let (start, length) = (Time::ZERO, stretch.length - length);
        let across = across(BarlineSide::After);
        rest.stretches.push(DividedSpan { start, length, inner: after, across });
    }
    rest
}

/// A stretch counted from a time.
fn moved(stretch: DividedSpan, from: Time) -> DividedSpan {
    let inner = stretch.inner.into_iter().map(|inner| moved(inner, from)).collect();
    DividedSpan { start: stretch.start - from, inner, ..stretch }
}
