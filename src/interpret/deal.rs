//! Cells dealt to time.

use crate::interpret::divisions::{Stretch, join_fragments};
use crate::interpret::ruler::Lot;
use crate::score::kit::{InstrumentId, Limb, Opening};
use crate::score::{Accent, Touch};
use crate::score::{Kit, RowWord, Time};
use crate::source::say;
use crate::source::say::RowBar;
use crate::source::{Diagnostics, Span, nearest};
use crate::syntax::limits::{GROUP_CELLS, SPLIT_CELLS, SPLIT_DEPTH};
use crate::syntax::tree::{Cell, CellKind, Hit, StickCell, StickKind, Strike};

/// What happens at an event.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Act {
    Silence,
    /// The hit before goes on.
    Hold,
    /// The same, tied into the next hit.
    Tie,
    Struck(Struck),
}

/// One instrument of a hit, with the limb that plays it here.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Blow {
    pub(crate) instrument: InstrumentId,
    pub(crate) limb: Limb,
    pub(crate) accent: Accent,
    pub(crate) ghost: bool,
    pub(crate) choked: bool,
}

/// A hit of one row.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Struck {
    pub(crate) blows: Vec<Blow>,
    pub(crate) grace: u8,
    pub(crate) strokes: u8,
    pub(crate) buzz: bool,
    pub(crate) touch: Touch,
}

/// A cell with its time in the bar.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Event {
    pub(crate) at: Time,
    pub(crate) end: Time,
    pub(crate) act: Act,
    pub(crate) span: Span,
}

/// One bar of one row, dealt.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Dealt {
    pub(crate) events: Vec<Event>,
    pub(crate) stretches: Vec<Stretch>,
}

impl Dealt {
    /// Takes away what lies past the end of the bar.
    pub(crate) fn trim(&mut self, length: Time) {
        self.events.retain(|e| e.end <= length);
        self.stretches.retain(|s| s.start + s.length <= length);
    }

    /// Makes the stretches start and end where plain notes can.
    pub(crate) fn join_fragments(&mut self) {
        self.stretches = join_fragments(std::mem::take(&mut self.stretches));
    }
}

/// What the letters of a row mean.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Hearing {
    /// `play`: letters of the kit; the instrument says which limb plays it.
    Play,
    /// `hands` or `feet`: letters of the kit, played by this limb.
    Limb(Limb),
    /// An instrument's row: `x`, `g`, and in a hi-hat row `o` and `h`.
    Instrument(InstrumentId),
}

/// Reads the cells of one row.
pub(crate) struct Dealer<'a> {
    pub(crate) kit: &'a Kit,
    pub(crate) hearing: Hearing,
    pub(crate) row: &'a str,
    /// Letters already reported.
    faulted: Vec<char>,
    snare: InstrumentId,
}

/// What a cell shows: something that happens, or more cells.
enum View<'a, C> {
    Act(Act, Span),
    Split(&'a [C], Span),
}

impl<'a> Dealer<'a> {
    pub(crate) fn new(kit: &'a Kit, hearing: Hearing, row: &'a str) -> Self {
        let snare = kit.snare();
        Self { kit, hearing, row, faulted: Vec::new(), snare }
    }

    /// Deals the cells of one group over its stretch.
    pub(crate) fn group(
        &mut self,
        cells: &[Cell],
        lot: Lot,
        span: Span,
        dealt: &mut Dealt,
        diagnostics: &mut Diagnostics,
    ) {
        let mut view =
            |cell: &'_ Cell, diagnostics: &mut Diagnostics| -> Act { self.act(cell, diagnostics) };
        lay(cells, lot, span, &mut view, |c| split(c), dealt, diagnostics);
    }

    /// Deals the letters of one group of a sticking over its stretch, as snare hits. Graces and
    /// accents come with the sticking itself.
    pub(crate) fn stick_group(
        &self,
        cells: &[StickCell],
        lot: Lot,
        span: Span,
        dealt: &mut Dealt,
        diagnostics: &mut Diagnostics,
    ) {
        let mut view = |cell: &StickCell, _: &mut Diagnostics| match &cell.kind {
            StickKind::Silence | StickKind::Split(_) => Act::Silence,
            StickKind::NoLetter | StickKind::Letter { .. } => Act::Struck(self.snare_hit()),
        };
        lay(cells, lot, span, &mut view, |c| stick_split(c), dealt, diagnostics);
    }

    /// A hit on the snare.
    pub(crate) fn snare_hit(&self) -> Struck {
        let blow = Blow {
            instrument: self.snare,
            limb: self.kit.limb(self.snare),
            accent: Accent::None,
            ghost: false,
            choked: false,
        };
        Struck { blows: vec![blow], ..Struck::default() }
    }

    /// What a cell that is no split does.
    fn act(&mut self, cell: &Cell, diagnostics: &mut Diagnostics) -> Act {
        match &cell.kind {
            CellKind::Silence | CellKind::Split(_) => Act::Silence,
            CellKind::Hold => Act::Hold,
            CellKind::TiedHold => Act::Tie,
            CellKind::Hit(hit) => Act::Struck(self.struck(hit, diagnostics)),
        }
    }

    fn struck(&mut self, hit: &Hit, diagnostics: &mut Diagnostics) -> Struck {
        let mut blows: Vec<Blow> = Vec::with_capacity(hit.strikes.len());
        for strike in &hit.strikes {
            let found = self.instrument(strike, diagnostics);
            let instrument = found.unwrap_or(match self.hearing {
                Hearing::Instrument(id) => id,
                _ => self.snare,
            });
            let limb = match self.hearing {
                Hearing::Limb(limb) => limb,
                _ => self.kit.limb(instrument),
            };
            if found.is_some() && blows.iter().any(|b| b.instrument == instrument) {
                let place = RowBar { row: self.row, bar: None };
                diagnostics
                    .warning(
                        strike.span,
                        format!("{place}: `{}` is struck twice at once", strike.letter),
                    )
                    .mend("write it once");
                continue;
            }
            let ghost = strike.ghost
                || (matches!(self.hearing, Hearing::Instrument(_)) && strike.letter == 'g');
            blows.push(Blow { instrument, limb, accent: strike.accent, ghost, choked: hit.choked });
        }
        // A hand that chokes a cymbal leaves the drums of the hit alone.
        if hit.choked && blows.iter().any(|b| self.rings(b.instrument)) {
            for blow in &mut blows {
                blow.choked = self.rings(blow.instrument);
            }
        }
        Struck { blows, grace: hit.grace, strokes: hit.strokes, buzz: hit.buzz, touch: hit.touch }
    }

    fn rings(&self, id: InstrumentId) -> bool {
        self.kit.get(id).is_some_and(|i| i.rings)
    }

    fn instrument(
        &mut self,
        strike: &Strike,
        diagnostics: &mut Diagnostics,
    ) -> Option<InstrumentId> {
        let found = match self.hearing {
            Hearing::Play | Hearing::Limb(_) => self.kit.by_letter(strike.letter),
            Hearing::Instrument(id) => {
                let hat = self.kit.get(id).is_some_and(|i| i.is_closed_hat());
                match strike.letter {
                    'x' | 'g' => Some(id),
                    'o' if hat => self.kit.hat(Opening::Open),
                    'h' if hat => self.kit.hat(Opening::Half),
                    _ => None,
                }
            }
        };
        if found.is_none() && !self.faulted.contains(&strike.letter) {
            self.faulted.push(strike.letter);
            self.report_letter(strike, diagnostics);
        }
        found
    }

    fn report_letter(&self, strike: &Strike, diagnostics: &mut Diagnostics) {
        let (row, letter) = (self.row, strike.letter);
        let Hearing::Instrument(id) = self.hearing else {
            let letters: Vec<String> = self
                .kit
                .instruments
                .iter()
                .filter_map(|i| Some(format!("`{}` {}", i.letter?, i.name)))
                .collect();
            diagnostics
                .error(strike.span, format!("`{row}`: this kit has no letter `{letter}`"))
                .mend(format!("its letters are {}; a `kit` block adds others", letters.join(", ")));
            return;
        };
        let hat = self.kit.get(id).is_some_and(|i| i.is_closed_hat());
        let mend = match letter {
            'o' | 'h' => "only the `hat` row has `o` and `h`; write `x` for a hit".to_owned(),
            _ if hat => {
                "write `x` for a closed hit, `o` for an open one, `h` for a half-open one, `g` for a ghost note".to_owned()
            }
            _ => "write `x` for a hit, `X` for an accent, `g` for a ghost note; letters of the kit go in a `play` row".to_owned(),
        };
        diagnostics
            .error(
                strike.span,
                format!("`{row}`: `{letter}` means nothing in the row of one instrument"),
            )
            .mend(mend);
    }
}

fn split(cell: &Cell) -> Option<&[Cell]> {
    match &cell.kind {
        CellKind::Split(cells) => Some(cells),
        _ => None,
    }
}

fn stick_split(cell: &StickCell) -> Option<&[StickCell]> {
    match &cell.kind {
        StickKind::Split(cells) => Some(cells),
        _ => None,
    }
}

/// Lays cells over a stretch in equal parts, splits inside them, to the depth the language has.
fn lay<'a, C: HasSpan>(
    cells: &'a [C],
    lot: Lot,
    span: Span,
    act: &mut dyn FnMut(&'a C, &mut Diagnostics) -> Act,
    split: fn(&'a C) -> Option<&'a [C]>,
    dealt: &mut Dealt,
    diagnostics: &mut Diagnostics,
) {
    let mut view = |cell: &'a C, diagnostics: &mut Diagnostics| match split(cell) {
        Some(cells) => View::Split(cells, cell.span()),
        None => View::Act(act(cell, diagnostics), cell.span()),
    };
    if let Some(stretch) = spread(cells, lot, span, 0, &mut view, &mut dealt.events, diagnostics) {
        dealt.stretches.push(stretch);
    }
}

/// Something with a place in the text.
trait HasSpan {
    fn span(&self) -> Span;
}

impl HasSpan for Cell {
    fn span(&self) -> Span {
        self.span
    }
}

impl HasSpan for StickCell {
    fn span(&self) -> Span {
        self.span
    }
}

fn spread<'a, C>(
    cells: &'a [C],
    lot: Lot,
    span: Span,
    depth: usize,
    view: &mut dyn FnMut(&'a C, &mut Diagnostics) -> View<'a, C>,
    events: &mut Vec<Event>,
    diagnostics: &mut Diagnostics,
) -> Option<Stretch> {
    let most = if depth == 0 { GROUP_CELLS } else { SPLIT_CELLS };
    if cells.is_empty() || cells.len() > most || depth > SPLIT_DEPTH {
        let message = if depth > SPLIT_DEPTH {
            "splits stand inside one another too deep".to_owned()
        } else {
            format!("{} cells share one place", cells.len())
        };
        diagnostics.error(span, message).mend(format!(
            "a beat has 1 to {GROUP_CELLS} cells, a split 1 to {SPLIT_CELLS}, and splits nest {SPLIT_DEPTH} deep"
        ));
        events.push(Event { at: lot.start, end: lot.end, act: Act::Silence, span });
        return None;
    }
    let length = lot.end - lot.start;
    let count = cells.len() as i64;
    let mut inner = Vec::new();
    for (index, cell) in cells.iter().enumerate() {
        let at = lot.start + length * index as i64 / count;
        let end = lot.start + length * (index as i64 + 1) / count;
        match view(cell, diagnostics) {
            View::Act(act, span) => events.push(Event { at, end, act, span }),
            View::Split(cells, span) => {
                let lot = Lot { start: at, end };
                inner.extend(spread(cells, lot, span, depth + 1, view, events, diagnostics));
            }
        }
    }
    Some(Stretch { start: lot.start, length, inner })
}

/// The instrument of a row's name; a fault where there is none.
pub(crate) fn instrument_of_row(
    kit: &Kit,
    name: &str,
    span: Span,
    diagnostics: &mut Diagnostics,
) -> Option<InstrumentId> {
    let found = kit.by_name(name);
    if found.is_none() {
        let rows = RowWord::words();
        let instruments: Vec<&str> = kit
            .instruments
            .iter()
            .filter(|i| i.letter.is_some())
            .map(|i| i.name.as_str())
            .collect();
        let mend = match nearest(name, rows.into_iter().chain(instruments.iter().copied())) {
            Some(near) => format!("did you mean `{near}`?"),
            None => format!(
                "rows are {} or an instrument of the kit: {}",
                rows.map(|r| format!("`{r}`")).join(", "),
                say::listed(instruments)
            ),
        };
        diagnostics.error(span, format!("there is no row or instrument `{name}`")).mend(mend);
    }
    found
}
