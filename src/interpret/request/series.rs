//! What the lines of a series say.

use super::change::{self, Change};
use super::faults::lines;
use super::pattern::Pattern;
use super::rule::{Hands, Notes, Order, Rule};
use crate::interpret::codes;
use crate::interpret::wrong_value::WrongValue;
use crate::score::kit::InstrumentId;
use crate::score::{Kit, Span};
use crate::source::Diagnostics;
use crate::syntax::Piece;
use crate::syntax::tree::{self, Cell, CellGroup, CellKind, Setting};
use crate::syntax::values::series::{
    ListedPattern, PatternPlaces, SeriesLine, SeriesOrder, WrongSeries,
};
use crate::syntax::values::tempo::WrittenTempo;

/// Most exercises of one series.
pub(crate) const MOST: usize = 2_000;

/// Words a series knows beside those of a variation and the keys of any block.
pub(crate) const WORDS: [&str; 10] = [
    "accents",
    "notes",
    "stickings",
    "turns",
    "hands",
    "feet",
    "order",
    "at-most",
    "turnings",
    "playable",
];

/// What is left out of a series because nobody could play it.
#[derive(Clone, Debug)]
pub(crate) struct Playable {
    /// At which tempo, with the words that say it; else at the one in force.
    pub(crate) tempo: Option<(WrittenTempo, String)>,
    pub(crate) span: Span,
}

/// The lines of a series.
#[derive(Clone, Debug, Default)]
pub(crate) struct Series {
    pub(crate) rule: Option<Rule>,
    /// A block is begun on each of its notes in turn.
    pub(crate) turns: bool,
    pub(crate) hands: Vec<Pattern>,
    pub(crate) feet: Vec<Pattern>,
    pub(crate) order: Order,
    pub(crate) most: Option<usize>,
    /// Without what is an earlier exercise begun elsewhere.
    pub(crate) once_round: bool,
    pub(crate) playable: Option<Playable>,
    pub(crate) changes: Vec<(Change, Span)>,
    /// Where its rule is written.
    pub(crate) rule_span: Option<Span>,
}

/// Reads the lines of a series; the keys of any block among them come back too. What is wrong with
/// them names it.
pub(super) fn read<'b>(
    what: &str,
    block: &'b tree::Block,
    kit: &Kit,
    diagnostics: &mut Diagnostics,
) -> Option<(Series, Vec<&'b Setting>)> {
    let mut series = Series::default();
    let own =
        lines(what, block, &WORDS, diagnostics, |key, setting| series.take(key, setting, kit))?;
    let listed = !series.hands.is_empty() || !series.feet.is_empty();
    let rules =
        usize::from(series.rule.is_some()) + usize::from(series.turns) + usize::from(listed);
    if rules != 1 {
        let message = match rules {
            0 => format!("{what}: it does not say what it goes through"),
            _ => format!("{what}: it goes through two things at once"),
        };
        diagnostics.error(block.span, message).code(codes::SERIES_RULE).mend("write one of `accents: 2 of ssss`, `notes: 3 of 4`, `stickings: 8 sixteenths`, `turns: yes`, or lists of `hands` and `feet`");
        return None;
    }
    Some((series, own))
}

impl Series {
    /// Takes one line; nothing where its key is none of a series.
    fn take(&mut self, key: &str, setting: &Setting, kit: &Kit) -> Option<Result<(), WrongValue>> {
        let whole = setting.key.span.join(setting.value.span);
        let value = Piece::from(&setting.value);
        match SeriesLine::read(key, value) {
            Some(Ok(line)) => Some(self.add(line, whole, kit)),
            Some(Err(wrong)) => Some(Err(help(wrong).into())),
            None => Some(change::Change::read(key, value, kit)?.map(|change| {
                self.changes.push((change, whole));
            })),
        }
    }

    fn add(&mut self, line: SeriesLine, span: Span, kit: &Kit) -> Result<(), WrongValue> {
        match line {
            SeriesLine::Accents { count, groups } => {
                let groups =
                    groups.iter().map(|group| cells(group, kit)).collect::<Result<_, _>>()?;
                return self.go_through(Rule::Accents { count, groups }, span);
            }
            SeriesLine::Notes { count, places, drums } => {
                let instruments = match drums {
                    None => vec![kit.snare()],
                    Some(drums) => change::instruments(&drums, kit)?,
                };
                let PatternPlaces { count: cells, parts, named } = places;
                let notes = Notes { count, cells, instruments, parts, named };
                return self.go_through(Rule::Notes(notes), span);
            }
            SeriesLine::Stickings { places, first, run } => {
                let PatternPlaces { count: notes, parts, named } = places;
                let hands = Hands { notes, lead: first, run, parts, named };
                return self.go_through(Rule::Stickings(hands), span);
            }
            SeriesLine::Turns => self.turns = true,
            SeriesLine::Hands(list) => {
                self.hands = patterns(&list, kit)?;
                self.rule_span = Some(span);
            }
            SeriesLine::Feet(list) => {
                self.feet = patterns(&list, kit)?;
                self.rule_span = Some(span);
            }
            SeriesLine::Order(order) => {
                self.order = match order {
                    SeriesOrder::Written => Order::Written,
                    SeriesOrder::Neighbours => Order::Neighbours,
                    SeriesOrder::Easy => Order::Easy,
                }
            }
            SeriesLine::AtMost(most) => self.most = Some(most),
            SeriesLine::OnceRound => self.once_round = true,
            SeriesLine::Playable(tempo) => {
                let tempo = tempo.map(|(tempo, words)| (tempo, words.value));
                self.playable = Some(Playable { tempo, span });
            }
        }
        Ok(())
    }

    fn go_through(&mut self, rule: Rule, span: Span) -> Result<(), WrongValue> {
        self.rule_span = Some(span);
        match self.rule.replace(rule) {
            None => Ok(()),
            Some(_) => Err("a series goes through one thing; make a second series".into()),
        }
    }
}

/// The cells of a group of plain hits and silences.
fn cells(group: &CellGroup, kit: &Kit) -> Result<Vec<Option<InstrumentId>>, WrongValue> {
    let cell = |cell: &Cell| match &cell.kind {
        CellKind::Hit(hit) => {
            let letter = hit.strikes.first().map_or(' ', |strike| strike.letter);
            kit.by_letter(letter).map(Some).ok_or_else(|| {
                WrongValue::from(format!(
                    "this kit has no letter `{letter}`; write its letters as in a `play` row"
                ))
            })
        }
        CellKind::Silence
        | CellKind::Hold
        | CellKind::TiedHold
        | CellKind::Slash
        | CellKind::Split(_) => Ok(None),
    };
    group.cells.iter().map(cell).collect()
}

fn patterns(list: &[ListedPattern], kit: &Kit) -> Result<Vec<Pattern>, WrongValue> {
    let read = |listed: &ListedPattern| {
        let groups = listed.groups.as_deref();
        groups.and_then(|groups| Pattern::of_groups(groups, kit)).ok_or_else(|| {
            let shown: String = listed.text.value.chars().take(40).collect();
            WrongValue::from(format!(
                "`{shown}` can't be read as cells; write the letters of the kit as in a `play` row"
            ))
        })
    };
    list.iter().map(read).collect()
}

/// What may be written in place of a wrong line.
fn help(wrong: WrongSeries) -> &'static str {
    match wrong {
        WrongSeries::Accents => "write how many accents on which notes, as `accents: 2 of ssss`",
        WrongSeries::Notes => {
            "write how many of how many cells, as `notes: 3 of 4` or `notes: 3 of 8 sixteenths on kick`, up to 32"
        }
        WrongSeries::Stickings => {
            "write how many notes, up to 32, as `stickings: 8 sixteenths, lead right, at most 2 in a row`"
        }
        WrongSeries::Turns => "write `turns: yes`, or leave the line out",
        WrongSeries::Patterns => "write groups of cells with commas between them, as `ssss, s.ss`",
        WrongSeries::AtMost => "write a number from 1 to 2000",
        WrongSeries::Turnings => {
            "write `turnings: once` to leave out what is an earlier exercise begun elsewhere"
        }
        WrongSeries::Playable => {
            "write `playable: at 120`, or `playable: yes` for the tempo it has"
        }
    }
}
