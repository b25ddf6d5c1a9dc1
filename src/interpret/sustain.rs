//! Holds and ties: how long the hits of a row last, across cells and barlines.

use crate::interpret::bar_draft::{BarDraft, RowDraft, RowHit, Tie};
use crate::interpret::codes;
use crate::interpret::place::{Act, Event, PlacedCells};
use crate::score::{Accent, Grace, Time};
use crate::source::say::RowBar;
use crate::source::{Diagnostics, Span};

/// The last hit of a row and whether it still sounds.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Sustain {
    /// Bar, row in the bar, hit in the row.
    last: Option<(usize, usize, usize)>,
    sounding: bool,
    /// A `_` that waits for its hit, with those before it.
    waiting: Option<Waiting>,
}

/// One `_` after another.
#[derive(Clone, Copy, Debug)]
struct Waiting {
    last: Span,
    /// From the first to the last.
    all: Span,
    count: usize,
}

/// How the events of a row are taken.
#[derive(Clone, Copy, Debug)]
pub(crate) struct RowInBar<'a> {
    pub(crate) place: RowBar<'a>,
    /// Every hit ends with its cell (`rests: full`).
    pub(crate) full_rests: bool,
}

impl Sustain {
    /// Takes the events of the row's next bar, which is the last of `drafts`.
    pub(crate) fn take(
        &mut self,
        drafts: &mut [BarDraft],
        name: &str,
        placed: PlacedCells,
        taking: RowInBar<'_>,
        diagnostics: &mut Diagnostics,
    ) {
        let Some(bar) = drafts.len().checked_sub(1) else { return };
        let row = drafts[bar].rows.len();
        drafts[bar].rows.push(RowDraft {
            name: name.to_owned(),
            hits: Vec::new(),
            stretches: placed.stretches,
        });
        for event in placed.events {
            self.event(drafts, (bar, row), event, taking, diagnostics);
        }
    }

    fn event(
        &mut self,
        drafts: &mut [BarDraft],
        (bar, row): (usize, usize),
        event: Event,
        taking: RowInBar<'_>,
        diagnostics: &mut Diagnostics,
    ) {
        let Event { at, end, lasts, act, span } = event;
        let tied = act == Act::Tie;
        match act {
            Act::Silence => {
                self.miss(taking.place, diagnostics);
                self.sounding = false;
            }
            Act::Hit(cell) => {
                if self.waiting.take().is_some() {
                    self.pin(drafts, bar, at, Tie::Tied);
                }
                let hits = &mut drafts[bar].rows[row].hits;
                self.last = Some((bar, row, hits.len()));
                self.sounding = true;
                // A roll fills its cell, and so is as long whatever follows it.
                let held = cell.is_roll();
                let until = if taking.full_rests || held { lasts.or(Some(end)) } else { lasts };
                let (tie, continued) = (Tie::None, false);
                hits.push(RowHit { at, until, held, tie, continued, cell, span });
            }
            Act::Hold | Act::Tie if !self.sounding => {
                let place = taking.place;
                diagnostics
                    .error(span, format!("{place}: no hit sounds here that could go on"))
                    .code(codes::HOLD_STRAY)
                    .mend("write `.` for a silence");
                // One fault for a run of holds.
                self.sounding = true;
            }
            Act::Hold | Act::Tie => {
                if tied {
                    let before =
                        self.waiting.map_or((span, 0), |before| (before.all, before.count));
                    let (all, count) = (before.0.join(span), before.1 + 1);
                    self.waiting = Some(Waiting { last: span, all, count });
                }
                self.hold(drafts, (bar, row), end, span);
            }
        }
    }

    /// The row is silent for a bar, or plays no longer.
    pub(crate) fn stop(&mut self, place: RowBar<'_>, diagnostics: &mut Diagnostics) {
        self.miss(place, diagnostics);
        self.sounding = false;
        self.last = None;
    }

    /// The row ends, or its next set begins with silence: a `_` that still waits lets its hit ring.
    pub(crate) fn ring(&mut self, drafts: &mut [BarDraft]) {
        if self.waiting.take().is_some()
            && let Some(hit) = hit_mut(drafts, self.last)
        {
            hit.cell.touch.rings = true;
        }
    }

    fn miss(&mut self, place: RowBar<'_>, diagnostics: &mut Diagnostics) {
        let Some(Waiting { last, all, count }) = self.waiting.take() else { return };
        let mend = "write `-` to let the hit go on without a tie";
        let fault = diagnostics
            .error(last, format!("{place}: no hit follows for this `_` to be tied into"))
            .code(codes::TIE_UNFOLLOWED);
        if all.end() - all.start() == count {
            fault.replace(all, "-".repeat(count), mend);
        } else {
            fault.mend(mend);
        }
    }

    /// Lets the last hit go on up to a time of this bar.
    fn hold(&mut self, drafts: &mut [BarDraft], (bar, row): (usize, usize), end: Time, span: Span) {
        let Some((last_bar, last_row, last_hit)) = self.last else { return };
        if last_bar == bar {
            if let Some(hit) = hit_mut(drafts, self.last) {
                hit.until = Some(end);
                hit.held = true;
            }
            return;
        }
        let length = drafts[last_bar].length;
        let Some(hit) =
            drafts[last_bar].rows.get_mut(last_row).and_then(|r| r.hits.get_mut(last_hit))
        else {
            return;
        };
        hit.until = Some(length);
        hit.held = true;
        hit.tie = Tie::Held;
        let mut cell = hit.cell.clone();
        cell.grace = Grace::default();
        for strike in &mut cell.strikes {
            strike.accent = Accent::None;
        }
        let hits = &mut drafts[bar].rows[row].hits;
        self.last = Some((bar, row, hits.len()));
        hits.push(RowHit {
            at: Time::ZERO,
            until: Some(end),
            held: true,
            tie: Tie::None,
            continued: true,
            cell,
            span,
        });
    }

    /// Pins the end of the last hit to the start of the next.
    fn pin(&mut self, drafts: &mut [BarDraft], bar: usize, at: Time, tie: Tie) {
        let Some((last_bar, ..)) = self.last else { return };
        let until = if last_bar == bar { at } else { drafts[last_bar].length };
        if let Some(hit) = hit_mut(drafts, self.last) {
            hit.until = Some(until);
            hit.held = true;
            hit.tie = tie;
        }
    }
}

fn hit_mut(drafts: &mut [BarDraft], place: Option<(usize, usize, usize)>) -> Option<&mut RowHit> {
    let (bar, row, hit) = place?;
    drafts.get_mut(bar)?.rows.get_mut(row)?.hits.get_mut(hit)
}
