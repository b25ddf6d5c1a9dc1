//! Cells placed in time.

use crate::interpret::codes;
use crate::interpret::divisions::{DividedSpan, join_fragments};
pub(crate) use crate::interpret::events::{Act, CellHit, Event, LimbStrike, LimbStrikes};
use crate::interpret::letters::LetterMeaning;
use crate::interpret::misread;
use crate::interpret::ruler::Extent;
use crate::score::kit::InstrumentId;
use crate::score::{Accent, Grace, Kit, Time};
use crate::source::{Diagnostics, Span};
use crate::syntax::codes::{CELLS_TOO_MANY, SPLIT_TOO_DEEP};
use crate::syntax::limits::{GROUP_CELLS, SPLIT_CELLS, SPLIT_DEPTH};
use crate::syntax::tree::{Cell, CellKind, Hit, StickCell, StickKind, Strike, WrittenGrace};
use smallvec::smallvec;

/// What a bar leaves to the next of a group over the barline between them.
#[derive(Clone, Debug)]
pub(crate) struct OverBarline {
    /// The length of its cells.
    pub(crate) cell: Time,
    /// How much of the next bar it takes.
    pub(crate) left: Time,
    /// How the cell goes on over which the barline falls, counted from that bar's start; nothing where it
    /// falls between two.
    pub(crate) rest: Option<Event>,
}

/// One bar of one row, placed.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct PlacedCells {
    pub(crate) events: Vec<Event>,
    pub(crate) stretches: Vec<DividedSpan>,
}

impl PlacedCells {
    /// Whether nothing is struck or held where it begins.
    pub(crate) fn begins_silent(&self) -> bool {
        self.events.first().is_none_or(|event| event.act == Act::Silence)
    }

    /// Takes away what lies past the end of the bar.
    pub(crate) fn trim(&mut self, length: Time) {
        self.events.retain(|e| e.end <= length);
        self.stretches.retain(|s| s.start + s.length <= length);
    }

    /// Lets the hits from an event on ring as those of one beat do: up to the next hit or to an end,
    /// where one plain or dotted note can say so.
    pub(crate) fn ring(&mut self, first: usize, end: Time) {
        let mut next = end;
        for event in self.events.iter_mut().skip(first).rev() {
            if let Act::Hit(_) = &event.act {
                let length = next - event.at;
                let plain = length.denominator() & (length.denominator() - 1) == 0;
                let one = plain && matches!(length.numerator(), 1 | 3);
                event.lasts = one.then_some(next);
                next = event.at;
            }
        }
    }

    /// Makes the stretches start and end where plain notes can.
    pub(crate) fn join_fragments(&mut self) {
        self.stretches = join_fragments(std::mem::take(&mut self.stretches));
    }
}

/// Reads the cells of one row.
pub(crate) struct CellPlacer<'a> {
    pub(crate) kit: &'a Kit,
    pub(crate) meaning: LetterMeaning,
    pub(crate) row: &'a str,
    /// What is left for the next bar of a group over the barline.
    pub(crate) over: Option<OverBarline>,
    /// Letters already reported.
    faulted: Vec<char>,
    snare: InstrumentId,
}

impl<'a> CellPlacer<'a> {
    pub(crate) fn new(kit: &'a Kit, meaning: LetterMeaning, row: &'a str) -> Self {
        let snare = kit.snare();
        Self { kit, meaning, row, over: None, faulted: Vec::new(), snare }
    }

    /// Places the cells of one group over its extent.
    pub(crate) fn group(
        &mut self,
        cells: &[Cell],
        extent: Extent,
        span: Span,
        placed: &mut PlacedCells,
        diagnostics: &mut Diagnostics,
    ) {
        let by_letter = matches!(self.meaning, LetterMeaning::Play | LetterMeaning::Limb(_));
        if let Some(id) = by_letter.then(|| misread::spelled(cells, self.kit)).flatten() {
            misread::report_spelled(id, (self.row, self.kit), span, diagnostics);
            let act = Act::Hit(self.one_hit(id));
            let Extent { start: at, end } = extent;
            placed.events.push(Event { at, end, lasts: None, act, span });
            return;
        }
        if by_letter
            && self.kit.by_letter('g').is_none()
            && misread::report_ghosts(cells, self.row, diagnostics)
        {
            self.faulted.push('g');
        }
        let mut act =
            |cell: &Cell, diagnostics: &mut Diagnostics| -> Act { self.act(cell, diagnostics) };
        Layer { act: &mut act, events: &mut placed.events, diagnostics }
            .lay(cells, extent, span, 0)
            .into_iter()
            .for_each(|stretch| placed.stretches.push(stretch));
    }

    /// Places cells as [`group`](Self::group) does, as a part of a group over a barline.
    pub(crate) fn part(
        &mut self,
        cells: &[Cell],
        extent: Extent,
        span: Span,
        events: &mut Vec<Event>,
        diagnostics: &mut Diagnostics,
    ) -> Vec<DividedSpan> {
        let mut act =
            |cell: &Cell, diagnostics: &mut Diagnostics| -> Act { self.act(cell, diagnostics) };
        let mut layer = Layer { act: &mut act, events, diagnostics };
        let whole = (!cells.is_empty()).then(|| layer.lay(cells, extent, span, 0)).flatten();
        whole.map(|whole| whole.inner).unwrap_or_default()
    }

    /// Places the letters of one group of a sticking over its extent, as snare hits. Graces and
    /// accents come with the sticking itself.
    pub(crate) fn stick_group(
        &self,
        cells: &[StickCell],
        extent: Extent,
        span: Span,
        placed: &mut PlacedCells,
        diagnostics: &mut Diagnostics,
    ) {
        let mut act = |cell: &StickCell, _: &mut Diagnostics| match &cell.kind {
            StickKind::Silence | StickKind::Split(_) => Act::Silence,
            StickKind::NoLetter | StickKind::Letter { .. } => Act::Hit(self.snare_hit()),
        };
        Layer { act: &mut act, events: &mut placed.events, diagnostics }
            .lay(cells, extent, span, 0)
            .into_iter()
            .for_each(|stretch| placed.stretches.push(stretch));
    }

    /// A hit on the snare.
    pub(crate) fn snare_hit(&self) -> CellHit {
        self.one_hit(self.snare)
    }

    /// A plain hit of an instrument.
    fn one_hit(&self, instrument: InstrumentId) -> CellHit {
        let strike = LimbStrike {
            instrument,
            limb: self.meaning.limb(instrument, self.kit),
            accent: Accent::None,
            ghost: false,
            choked: false,
        };
        CellHit { strikes: smallvec![strike], ..CellHit::default() }
    }

    /// What a cell that is no split does.
    fn act(&mut self, cell: &Cell, diagnostics: &mut Diagnostics) -> Act {
        match &cell.kind {
            CellKind::Silence | CellKind::Split(_) => Act::Silence,
            CellKind::Hold => Act::Hold,
            CellKind::TiedHold => Act::Tie,
            CellKind::Slash => self.slash(cell.span, diagnostics),
            CellKind::Hit(hit) => Act::Hit(self.hit(hit, diagnostics)),
        }
    }

    /// A beat slash, which strikes nothing in particular.
    fn slash(&self, span: Span, diagnostics: &mut Diagnostics) -> Act {
        match self.meaning {
            LetterMeaning::Play | LetterMeaning::Limb(_) => Act::Hit(CellHit::default()),
            LetterMeaning::Instrument(_) => {
                let message = format!("`{}`: a beat slash is no hit of one instrument", self.row);
                diagnostics
                    .error(span, message)
                    .code(codes::SLASH_MISPLACED)
                    .mend("write it in a `play`, `hands` or `feet` row");
                Act::Silence
            }
        }
    }

    /// Grace notes; letters in braces are those of the kit in every row.
    fn grace(&mut self, grace: &WrittenGrace, diagnostics: &mut Diagnostics) -> Grace {
        let letters = match grace {
            WrittenGrace::Ticks(count) => return Grace::same(*count),
            WrittenGrace::Letters(letters) => letters,
        };
        let mut drums = Vec::with_capacity(letters.len());
        for letter in letters {
            match self.kit.by_letter(letter.value) {
                Some(id) => drums.push(id),
                None if self.faulted.contains(&letter.value) => {}
                None => {
                    self.faulted.push(letter.value);
                    let (row, letter, span) = (self.row, letter.value, letter.span);
                    let message = format!("`{row}`: this kit has no letter `{letter}`");
                    diagnostics
                        .error(span, message)
                        .code(codes::KIT_LETTER_UNKNOWN)
                        .mend("in braces stand letters of the kit, as `{t}s`, in every row");
                }
            }
        }
        Grace::on(drums)
    }

    fn hit(&mut self, hit: &Hit, diagnostics: &mut Diagnostics) -> CellHit {
        let mut strikes = LimbStrikes::new();
        for strike in &hit.strikes {
            let found = self.instrument(strike, diagnostics);
            let instrument = found.unwrap_or(match self.meaning {
                LetterMeaning::Instrument(id) => id,
                LetterMeaning::Play | LetterMeaning::Limb(_) => self.snare,
            });
            if found.is_some() && strikes.iter().any(|known| known.instrument == instrument) {
                let (row, letter) = (self.row, strike.letter);
                // The `+` before it goes too.
                let second = Span::new(strike.span.start().saturating_sub(1), strike.span.end());
                diagnostics
                    .warning(strike.span, format!("`{row}`: `{letter}` is struck twice at once"))
                    .code(codes::STRUCK_TWICE)
                    .replace(second, "", "write it once");
                continue;
            }
            strikes.push(LimbStrike {
                instrument,
                limb: self.meaning.limb(instrument, self.kit),
                accent: strike.accent,
                ghost: strike.ghost || self.meaning.is_ghost(strike.letter),
                choked: hit.choked,
            });
        }
        // A hand that chokes a cymbal leaves the drums of the hit alone.
        if hit.choked && strikes.iter().any(|strike| self.rings(strike.instrument)) {
            for strike in &mut strikes {
                strike.choked = self.rings(strike.instrument);
            }
        }
        CellHit {
            strikes,
            grace: self.grace(&hit.grace, diagnostics),
            strokes: hit.strokes,
            buzz: hit.buzz,
            touch: hit.touch,
        }
    }

    fn rings(&self, id: InstrumentId) -> bool {
        self.kit.get(id).is_some_and(|i| i.rings)
    }

    fn instrument(
        &mut self,
        strike: &Strike,
        diagnostics: &mut Diagnostics,
    ) -> Option<InstrumentId> {
        let found = self.meaning.instrument(strike.letter, self.kit);
        if found.is_none() && !self.faulted.contains(&strike.letter) {
            self.faulted.push(strike.letter);
            self.meaning.report(strike, self.row, self.kit, diagnostics);
        }
        found
    }
}

/// Cells of which some are split into smaller ones.
trait Divisible: Sized {
    fn span(&self) -> Span;
    /// The smaller cells.
    fn split(&self) -> Option<&[Self]>;
}

impl Divisible for Cell {
    fn span(&self) -> Span {
        self.span
    }

    fn split(&self) -> Option<&[Self]> {
        match &self.kind {
            CellKind::Split(cells) => Some(cells),
            CellKind::Silence
            | CellKind::Hold
            | CellKind::TiedHold
            | CellKind::Slash
            | CellKind::Hit(_) => None,
        }
    }
}

impl Divisible for StickCell {
    fn span(&self) -> Span {
        self.span
    }

    fn split(&self) -> Option<&[Self]> {
        match &self.kind {
            StickKind::Split(cells) => Some(cells),
            StickKind::Silence | StickKind::NoLetter | StickKind::Letter { .. } => None,
        }
    }
}

/// Lays cells over extents of time.
struct Layer<'p, C> {
    /// What a cell does that is not split.
    act: &'p mut dyn FnMut(&C, &mut Diagnostics) -> Act,
    events: &'p mut Vec<Event>,
    diagnostics: &'p mut Diagnostics,
}

impl<C: Divisible> Layer<'_, C> {
    /// Lays cells over an extent in equal parts, splits inside them, to the depth the language has.
    fn lay(
        &mut self,
        cells: &[C],
        extent: Extent,
        span: Span,
        depth: usize,
    ) -> Option<DividedSpan> {
        let most = if depth == 0 { GROUP_CELLS } else { SPLIT_CELLS };
        if cells.is_empty() || cells.len() > most || depth > SPLIT_DEPTH {
            self.report(cells.len(), span, depth);
            let Extent { start: at, end } = extent;
            self.events.push(Event { at, end, lasts: None, act: Act::Silence, span });
            return None;
        }
        let length = extent.end - extent.start;
        let count = cells.len() as i64;
        let mut inner = Vec::new();
        for (index, cell) in (0..).zip(cells) {
            let at = extent.start + length * index / count;
            let end = extent.start + length * (index + 1) / count;
            match cell.split() {
                Some(cells) => {
                    let extent = Extent { start: at, end };
                    inner.extend(self.lay(cells, extent, cell.span(), depth + 1));
                }
                None => {
                    let act = (self.act)(cell, self.diagnostics);
                    self.events.push(Event { at, end, lasts: None, act, span: cell.span() });
                }
            }
        }
        Some(DividedSpan { start: extent.start, length, inner, across: None })
    }

    fn report(&mut self, cells: usize, span: Span, depth: usize) {
        let (code, message) = if depth > SPLIT_DEPTH {
            let message = "splits stand inside one another too deep".to_owned();
            (SPLIT_TOO_DEEP, message)
        } else {
            (CELLS_TOO_MANY, format!("{cells} cells share one place"))
        };
        self.diagnostics.error(span, message).code(code).mend(format!(
            "a beat has 1 to {GROUP_CELLS} cells, a split 1 to {SPLIT_CELLS}, and splits nest {SPLIT_DEPTH} deep"
        ));
    }
}
