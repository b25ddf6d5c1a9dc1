//! Holds and ties: how long the hits of a row last, across cells and barlines.

use crate::interpret::counting::Counter;
use crate::interpret::divisions::DividedSpan;
use crate::interpret::place::{Act, CellHit, PlacedCells};
use crate::score::Closing;
use crate::score::Syllable;
use crate::score::Time;
use crate::score::meter::Meter;
use crate::source::say::RowBar;
use crate::source::{Diagnostics, Span};
use std::sync::Arc;

/// How a hit leads on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Tie {
    #[default]
    None,
    /// It goes on over the barline.
    Held,
    /// It is tied into the next hit.
    Tied,
}

/// A hit of one row with its length.
#[derive(Clone, Debug)]
pub(crate) struct RowHit {
    pub(crate) at: Time,
    pub(crate) until: Option<Time>,
    pub(crate) tie: Tie,
    pub(crate) continued: bool,
    pub(crate) struck: CellHit,
    pub(crate) span: Span,
}

/// One row in one bar.
#[derive(Clone, Debug)]
pub(crate) struct RowDraft {
    pub(crate) name: String,
    pub(crate) hits: Vec<RowHit>,
    pub(crate) stretches: Vec<DividedSpan>,
}

/// A bar whose rows are not yet voices.
#[derive(Clone, Debug)]
pub(crate) struct BarDraft {
    pub(crate) meter: Arc<Meter>,
    pub(crate) counter: Arc<Counter>,
    pub(crate) offset: Time,
    pub(crate) length: Time,
    pub(crate) rows: Vec<RowDraft>,
    pub(crate) closing: Closing,
    pub(crate) repeat_start: bool,
    pub(crate) again: Option<crate::score::Again>,
    /// Words of the count row that are printed as written.
    pub(crate) written: Vec<Syllable>,
    /// Something in it could not be understood, so that letters and words dealt to its hits are
    /// not counted.
    pub(crate) broken: bool,
    pub(crate) span: Span,
}

impl BarDraft {
    /// The point of time before which the bar ends, counted from the start of the meter.
    pub(crate) fn end(&self) -> Time {
        self.offset + self.length
    }
}

/// The last hit of a row and whether it still sounds.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Sustain {
    /// Bar, row in the bar, hit in the row.
    last: Option<(usize, usize, usize)>,
    sounding: bool,
    /// A `_` that waits for its hit.
    waiting: Option<Span>,
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
        dealt: PlacedCells,
        taking: RowInBar<'_>,
        diagnostics: &mut Diagnostics,
    ) {
        let Some(bar) = drafts.len().checked_sub(1) else { return };
        let row = drafts[bar].rows.len();
        drafts[bar].rows.push(RowDraft {
            name: name.to_owned(),
            hits: Vec::new(),
            stretches: dealt.stretches,
        });
        for event in dealt.events {
            match event.act {
                Act::Silence => {
                    self.miss(taking.place, diagnostics);
                    self.sounding = false;
                }
                Act::Hit(struck) => {
                    if self.waiting.take().is_some() {
                        self.pin(drafts, bar, event.at, Tie::Tied);
                    }
                    let hits = &mut drafts[bar].rows[row].hits;
                    self.last = Some((bar, row, hits.len()));
                    self.sounding = true;
                    hits.push(RowHit {
                        at: event.at,
                        until: taking.full_rests.then_some(event.end),
                        tie: Tie::None,
                        continued: false,
                        struck,
                        span: event.span,
                    });
                }
                Act::Hold | Act::Tie if !self.sounding => {
                    diagnostics
                        .error(
                            event.span,
                            format!("{}: no hit sounds here that could go on", taking.place),
                        )
                        .mend("write `.` for a silence");
                    // One fault for a run of holds.
                    self.sounding = true;
                }
                Act::Hold | Act::Tie => {
                    if event.act == Act::Tie {
                        self.waiting = Some(event.span);
                    }
                    self.hold(drafts, bar, row, event.end, event.span);
                }
            }
        }
    }

    /// The row is silent for a bar, or plays no longer.
    pub(crate) fn stop(&mut self, place: RowBar<'_>, diagnostics: &mut Diagnostics) {
        self.miss(place, diagnostics);
        self.sounding = false;
        self.last = None;
    }

    fn miss(&mut self, place: RowBar<'_>, diagnostics: &mut Diagnostics) {
        if let Some(span) = self.waiting.take() {
            diagnostics
                .error(span, format!("{place}: no hit follows for this `_` to be tied into"))
                .mend("write `-` to let the hit go on without a tie");
        }
    }

    /// Lets the last hit go on up to a time of this bar.
    fn hold(&mut self, drafts: &mut [BarDraft], bar: usize, row: usize, end: Time, span: Span) {
        let Some((last_bar, last_row, last_hit)) = self.last else { return };
        if last_bar == bar {
            if let Some(hit) = hit_mut(drafts, self.last) {
                hit.until = Some(end);
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
        hit.tie = Tie::Held;
        let mut struck = hit.struck.clone();
        struck.grace = 0;
        for strike in &mut struck.strikes {
            strike.accent = crate::score::Accent::None;
        }
        let hits = &mut drafts[bar].rows[row].hits;
        self.last = Some((bar, row, hits.len()));
        hits.push(RowHit {
            at: Time::ZERO,
            until: Some(end),
            tie: Tie::None,
            continued: true,
            struck,
            span,
        });
    }

    /// Pins the end of the last hit to the start of the next.
    fn pin(&mut self, drafts: &mut [BarDraft], bar: usize, at: Time, tie: Tie) {
        let Some((last_bar, ..)) = self.last else { return };
        let until = if last_bar == bar { at } else { drafts[last_bar].length };
        if let Some(hit) = hit_mut(drafts, self.last) {
            hit.until = Some(until);
            hit.tie = tie;
        }
    }
}

fn hit_mut(drafts: &mut [BarDraft], place: Option<(usize, usize, usize)>) -> Option<&mut RowHit> {
    let (bar, row, hit) = place?;
    drafts.get_mut(bar)?.rows.get_mut(row)?.hits.get_mut(hit)
}
