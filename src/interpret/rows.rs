//! The rows of a set: what each is, and its bars.

use crate::interpret::bars::{Groups, RawRow, cut};
use crate::interpret::break_up::break_up;
use crate::interpret::codes;
use crate::interpret::keys::KeySetting;
use crate::interpret::letters::{LetterMeaning, instrument_of_row};
use crate::interpret::ruler::Ruler;
use crate::interpret::setup::Setup;
use crate::interpret::shapes::{RowShape, shape};
use crate::interpret::words::may_repeat;
use crate::score::kit::Limb;
use crate::score::{HitsRow, Kit, WordsRow};
use crate::source::say;
use crate::source::{Diagnostics, Span};
use crate::syntax::tree::{CellGroup, Content, CountGroup, Row, StickGroup, WordGroup};
use std::collections::BTreeMap;

/// What a row is.
pub(crate) enum RowKind<'a> {
    Hits(LetterMeaning, RawRow<'a, CellGroup>),
    Count(RawRow<'a, CountGroup>),
    Sticks(Limb, RawRow<'a, StickGroup>),
    Words(WordsRow, RawRow<'a, WordGroup>),
}

/// One row of a set.
pub(crate) struct PlannedRow<'a> {
    pub(crate) name: &'a str,
    pub(crate) name_span: Span,
    pub(crate) span: Span,
    pub(crate) damaged: bool,
    pub(crate) kind: RowKind<'a>,
}

/// Where the rhythm of a set comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Rhythm {
    /// Groups of cells are beats.
    Grid,
    /// Syllables of a `count` row.
    Count,
    /// Letters of a `stick` row; its groups are beats.
    Sticks,
    /// No row gives any hits.
    None,
}

/// A set cut into bars.
pub(crate) struct PlannedSet<'a> {
    pub(crate) setup: Setup,
    pub(crate) rhythm: Rhythm,
    pub(crate) rows: Vec<PlannedRow<'a>>,
    /// Its first bar in the block, from zero.
    pub(crate) first: usize,
    pub(crate) bars: usize,
    /// Keys that the set itself has.
    pub(crate) keys: Vec<KeySetting>,
    /// A repeat sign at its end that starts in the next set.
    pub(crate) opens_next: Option<Span>,
    /// A row of it could not be taken, so that what goes with its hits is not to be counted.
    pub(crate) lost: bool,
    /// Its player, one of several, is silent.
    pub(crate) silent: bool,
    pub(crate) span: Span,
}

/// The last bars of the rows of the set before, for `%`.
#[derive(Default)]
pub(crate) struct Before<'a> {
    cells: BTreeMap<&'a str, Vec<Groups<'a, CellGroup>>>,
    counts: Vec<Groups<'a, CountGroup>>,
    sticks: BTreeMap<Limb, Vec<Groups<'a, StickGroup>>>,
}

/// Where a set stands.
pub(crate) struct SetPlace<'k> {
    pub(crate) kit: &'k Kit,
    /// Its first bar in the block, from zero.
    pub(crate) first: usize,
    /// The head of its block.
    pub(crate) span: Span,
}

impl Rhythm {
    fn of(rows: &[PlannedRow<'_>]) -> Self {
        let has = |f: fn(&RowKind<'_>) -> bool| rows.iter().any(|r| f(&r.kind));
        if has(|k| matches!(k, RowKind::Count(_))) {
            Self::Count
        } else if has(|k| matches!(k, RowKind::Hits(..))) {
            Self::Grid
        } else if has(|k| matches!(k, RowKind::Sticks(Limb::Hands, _))) {
            Self::Sticks
        } else {
            Self::None
        }
    }
}

impl<'a> PlannedSet<'a> {
    pub(crate) fn new(
        written: &[&'a Row],
        (setup, keys): (Setup, Vec<KeySetting>),
        SetPlace { kit, first, span }: SetPlace<'_>,
        before: &mut Before<'a>,
        diagnostics: &mut Diagnostics,
    ) -> Self {
        let mut rows: Vec<PlannedRow<'a>> = Vec::new();
        for &row in written {
            let name = row.name.value.as_str();
            if !may_stand_again(&row.content) && rows.iter().any(|r| r.name == name) {
                diagnostics
                    .error(row.name.span, format!("the row `{name}` stands here twice"))
                    .code(codes::ROW_TWICE)
                    .mend("put a line of `--` between them if the second comes after the first");
                continue;
            }
            let kind = kind(row, kit, first, before, diagnostics);
            rows.extend(kind.map(|kind| PlannedRow {
                name,
                name_span: row.name.span,
                span: row.span,
                damaged: row.damaged,
                kind,
            }));
        }
        let rhythm = Rhythm::of(&rows);
        let ruler = Ruler::new(&setup.meter);
        for row in &mut rows {
            let (name, damaged) = (row.name, row.damaged);
            match &mut row.kind {
                RowKind::Hits(_, raw) if rhythm == Rhythm::Grid && !damaged => {
                    break_up(raw, name, &ruler, &setup, first, diagnostics);
                }
                RowKind::Sticks(Limb::Hands, raw) if rhythm == Rhythm::Sticks && !damaged => {
                    break_up(raw, name, &ruler, &setup, first, diagnostics);
                }
                RowKind::Hits(..)
                | RowKind::Sticks(..)
                | RowKind::Count(_)
                | RowKind::Words(..) => {}
            }
        }
        let bars = match rhythm {
            Rhythm::None => 0,
            Rhythm::Count | Rhythm::Grid | Rhythm::Sticks => count_bars(&rows, rhythm, diagnostics),
        };
        *before = Before::of(&rows);
        let opens_next = rows.iter().find_map(|r| r.kind.shape().opens_next);
        let lost = rows.len() < written.len();
        Self { setup, rhythm, rows, first, bars, keys, opens_next, lost, silent: false, span }
    }

    /// Whether the set itself has a key.
    pub(crate) fn has(&self, key: &str) -> bool {
        self.keys.iter().any(|line| line.name() == key)
    }

    /// The rows whose bars carry barlines and repeats.
    pub(crate) fn shapes(&self) -> impl Iterator<Item = RowShape<'_>> {
        self.rows.iter().map(|r| r.kind.shape())
    }
}

impl RowKind<'_> {
    pub(crate) fn shape(&self) -> RowShape<'_> {
        match self {
            Self::Hits(_, raw) => shape(raw),
            Self::Count(raw) => shape(raw),
            Self::Sticks(_, raw) => shape(raw),
            Self::Words(_, raw) => shape(raw),
        }
    }
}

impl<'a> Before<'a> {
    fn of(rows: &[PlannedRow<'a>]) -> Self {
        let mut before = Self::default();
        for row in rows {
            match &row.kind {
                RowKind::Hits(_, raw) => {
                    before.cells.insert(row.name, last_groups(raw));
                }
                RowKind::Sticks(limb, raw) => {
                    before.sticks.insert(*limb, last_groups(raw));
                }
                RowKind::Count(raw) => before.counts = last_groups(raw),
                RowKind::Words(..) => {}
            }
        }
        before
    }
}

/// Most bars a sign repeats.
const MOST_AGAIN: usize = 4;

/// The groups of the last bars of a row, as many as a sign can repeat.
fn last_groups<'a, T>(raw: &RawRow<'a, T>) -> Vec<Groups<'a, T>> {
    let first = raw.bars.len().saturating_sub(MOST_AGAIN);
    raw.bars.iter().skip(first).map(|bar| bar.groups.clone()).collect()
}

fn kind<'a>(
    row: &'a Row,
    kit: &Kit,
    first: usize,
    before: &Before<'a>,
    diagnostics: &mut Diagnostics,
) -> Option<RowKind<'a>> {
    let name = row.name.value.as_str();
    let first = first + 1;
    Some(match &row.content {
        Content::Cells(word, entries) => {
            let hearing = match word {
                HitsRow::Play => LetterMeaning::Play,
                HitsRow::Limb(limb) => LetterMeaning::Limb(*limb),
                HitsRow::Band => LetterMeaning::Instrument(kit.snare()),
                HitsRow::Instrument(name) => LetterMeaning::Instrument(instrument_of_row(
                    kit,
                    name,
                    row.name.span,
                    diagnostics,
                )?),
            };
            let last = before.cells.get(name).map_or(&[][..], Vec::as_slice);
            RowKind::Hits(hearing, cut(entries, name, row.span, first, last, diagnostics))
        }
        Content::Count(entries) => {
            let last = before.counts.as_slice();
            RowKind::Count(cut(entries, name, row.span, first, last, diagnostics))
        }
        Content::Sticks(limb, entries) => {
            let last = before.sticks.get(limb).map_or(&[][..], Vec::as_slice);
            RowKind::Sticks(*limb, cut(entries, name, row.span, first, last, diagnostics))
        }
        Content::Words(word, entries) => {
            RowKind::Words(*word, cut(entries, name, row.span, first, &[], diagnostics))
        }
        Content::KitLetter(_) | Content::Syllables(_) => return None,
    })
}

/// Whether several of these rows can stand in one set.
fn may_stand_again(content: &Content) -> bool {
    match content {
        Content::Words(row, _) => may_repeat(*row),
        Content::Count(_)
        | Content::Cells(..)
        | Content::Sticks(..)
        | Content::KitLetter(_)
        | Content::Syllables(_) => false,
    }
}

/// How many bars a set has; a fault where its rows do not agree.
fn count_bars(rows: &[PlannedRow<'_>], rhythm: Rhythm, diagnostics: &mut Diagnostics) -> usize {
    let mut most: Option<(&str, usize)> = None;
    let mut counted: Vec<(&PlannedRow<'_>, usize)> = Vec::new();
    for row in rows {
        let shape = row.kind.shape();
        let counts = match &row.kind {
            RowKind::Count(_) => true,
            RowKind::Hits(..) => rhythm == Rhythm::Grid || shape.has_lines,
            RowKind::Sticks(limb, _) => {
                shape.has_lines || (rhythm == Rhythm::Sticks && *limb == Limb::Hands)
            }
            RowKind::Words(..) => false,
        };
        if counts {
            counted.push((row, shape.bars));
            if most.is_none_or(|(_, bars)| shape.bars > bars) {
                most = Some((row.name, shape.bars));
            }
        }
    }
    let Some((longest, bars)) = most else { return 0 };
    for (row, own) in counted {
        if own < bars && !row.damaged {
            let have = if own == 1 { "one bar".to_owned() } else { say::several(own, "bar") };
            diagnostics
                .error(
                    row.name_span,
                    format!("`{}` has {have}, but `{longest}` has {}", row.name, say::number(bars)),
                )
                .code(codes::BARS_DIFFER)
                .mend("give every row the same bars; an empty bar between two `|` is silent, and `%` repeats the bar before");
        }
    }
    for row in rows {
        if matches!(row.kind, RowKind::Words(..)) {
            let shape = row.kind.shape();
            if shape.bars > bars && bars > 0 {
                let span = shape.bar(bars).map_or(row.name_span, |b| b.span);
                diagnostics
                    .error(
                        span,
                        format!(
                            "`{}` has {}, but `{longest}` has {}",
                            row.name,
                            say::several(shape.bars, "bar"),
                            say::number(bars)
                        ),
                    )
                    .code(codes::BARS_DIFFER)
                    .mend("take the last bars out, or write their notes");
            }
        }
    }
    bars
}
