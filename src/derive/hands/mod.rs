//! Stickings made by a rule: which hand takes which note.

mod economy;
mod natural;
pub(crate) mod plan;

use crate::derive::made::Made;
use crate::derive::variation::phrase::{Letter, Note, Phrase, opposite};
use crate::derive::variation::write;
use crate::score::Hand;
use crate::score::Kit;
use crate::score::Time;
use crate::score::kit::Limb;
use crate::score::{Block, Sticking};
use crate::source::say;
use crate::source::{Diagnostics, Span, nearest};
use crate::syntax::tree;

/// How the hands are told apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Way {
    /// Each hand keeps its places on the subdivision grid; a rest keeps its hand's place.
    Natural,
    /// The hands take turns, note by note.
    Alternate,
    /// The way round the kit that moves the hands least.
    Economy,
}

/// A rule that gives every note of the hands its letter.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct StickRule {
    pub(crate) way: Way,
    /// The hand that leads.
    pub(crate) first: Hand,
}

/// The words a rule may begin with.
const WORDS: [&str; 5] = ["natural", "alternate", "economy", "lead", "written"];

/// What a `stick:` line may say.
pub(crate) const HELP: &str = "it may be `natural` (the right hand keeps the grid), `alternate` (hand to hand), `economy` (the shortest way round the kit), each also with `left`, as `alternate left`; or `lead left`";

impl StickRule {
    /// Reads a rule; `None` inside where the letters are to be those that are written. An error
    /// says what may be written.
    pub(crate) fn read(value: &str) -> Result<Option<Self>, String> {
        let value = value.trim().to_lowercase();
        let (word, first) = value.split_once(' ').unwrap_or((&value, ""));
        let first = match first.trim() {
            "" if word != "lead" => Hand::Right,
            "right" => Hand::Right,
            "left" => Hand::Left,
            _ => return Err(HELP.to_owned()),
        };
        let way = match word {
            "natural" | "lead" => Way::Natural,
            "alternate" => Way::Alternate,
            "economy" => Way::Economy,
            "written" if value == "written" => return Ok(None),
            _ => {
                let near = nearest(word, WORDS).map(|w| format!("did you mean `{w}`? "));
                return Err(format!("{}{HELP}", near.unwrap_or_default()));
            }
        };
        Ok(Some(Self { way, first }))
    }

    /// The rule as a `stick:` line says it.
    pub(crate) fn words(self) -> String {
        let word = match self.way {
            Way::Natural => "natural",
            Way::Alternate => "alternate",
            Way::Economy => "economy",
        };
        match self.first {
            Hand::Left => format!("{word} left"),
            _ => word.to_owned(),
        }
    }

    /// What the rule does, as a sentence without its end.
    pub(crate) fn told(self) -> String {
        let (first, other) = match self.first {
            Hand::Left => ("left", "right"),
            _ => ("right", "left"),
        };
        match self.way {
            Way::Natural => format!(
                "each hand keeps its places on the grid: the {first} hand the beat and every second cell after it, the {other} hand those between; a rest keeps its hand's place"
            ),
            Way::Alternate => format!("the hands take turns, the {first} hand first"),
            Way::Economy => format!(
                "the hands go the shortest way round the kit, and the {first} hand begins where it is all one"
            ),
        }
    }

    /// The hand for each note of the hands, in order. Two drums at once take both.
    pub(crate) fn hands(self, phrase: &Phrase, kit: &Kit) -> Vec<Hand> {
        match self.way {
            Way::Natural => natural::hands(phrase, self.first),
            Way::Alternate => alternate(phrase, self.first),
            Way::Economy => economy::hands(&economy::steps(phrase, kit), self.first),
        }
    }
}

/// The notes of the hands.
fn notes(phrase: &Phrase) -> impl Iterator<Item = &Note> {
    phrase.notes.iter().filter(|n| n.limb == Limb::Hands)
}

/// Hand to hand. A stroke of both hands takes no turn from either.
fn alternate(phrase: &Phrase, first: Hand) -> Vec<Hand> {
    let mut next = first;
    notes(phrase)
        .map(|note| {
            if note.blows.len() > 1 {
                return Hand::Both;
            }
            let hand = next;
            next = opposite(next);
            hand
        })
        .collect()
}

/// Gives every note of the hands the letter of a rule, with the letters of its grace notes.
pub(crate) fn stick(phrase: &mut Phrase, kit: &Kit, rule: StickRule) {
    let hands = rule.hands(phrase, kit);
    let notes = phrase.notes.iter_mut().filter(|n| n.limb == Limb::Hands);
    for (note, hand) in notes.zip(hands) {
        note.letter = Some(Letter { hand, grace: Vec::new() });
        note.set_grace(note.grace);
    }
}

/// Letters that were made for a block.
#[derive(Clone, Debug)]
pub(crate) struct Handed {
    pub(crate) rule: StickRule,
    /// A `stick` row for each set that has none of its own, with the number of the set from
    /// nought.
    pub(crate) rows: Vec<(usize, String)>,
    /// No letter of the hands was written.
    pub(crate) all: bool,
}

impl Handed {
    /// The letters told, and as rows: in place of the line that asks for them, else after the last
    /// row of their set.
    pub(crate) fn made(&self, block: &tree::Block) -> Made {
        let line = format!("`stick: {}`: {}", self.rule.words(), self.rule.told());
        let mut steps = vec![line];
        let mut edits = Vec::new();
        for (index, row) in &self.rows {
            let row = format!("stick  {row}");
            steps.push(format!("    {row}"));
            let Some(set) = block.sets.get(*index) else { continue };
            let asked = set.settings.iter().find(|s| s.key.value.eq_ignore_ascii_case("stick"));
            if let Some(asked) = asked {
                edits.push((asked.key.span.join(asked.value.span), row));
            } else if let Some(end) = set.rows.iter().map(|r| r.span.end).max() {
                edits.push((Span::new(end, end), format!("\n  {row}")));
            }
        }
        Made { span: block.span, steps, plain: Vec::new(), hands: None, edits }
    }
}

/// A stretch of a block: its bars, and whether it has a `stick` row.
pub(crate) struct Stretch {
    pub(crate) bars: std::ops::Range<usize>,
    pub(crate) written: bool,
}

/// Makes the letters of the sets that have no `stick` row. Where a block asks for a rule and has
/// a row as well, the row stays, and a letter the rule would not give is reported.
pub(crate) fn give(
    block: &mut Block,
    rule: StickRule,
    asked_here: bool,
    sets: &[Stretch],
    diagnostics: &mut Diagnostics,
) -> Option<Handed> {
    let kit = block.kit.clone();
    let mut phrase = Phrase::of(block, &kit).ok()?;
    let hands = rule.hands(&phrase, &kit);
    if asked_here && sets.iter().any(|s| s.written) {
        compare(block, &phrase, &hands, rule, diagnostics);
    }
    let starts: Vec<Time> = block
        .bars
        .iter()
        .scan(Time::ZERO, |at, bar| {
            let start = *at;
            *at += bar.length;
            Some(start)
        })
        .collect();
    let mut open = vec![true; block.bars.len()];
    for set in sets.iter().filter(|s| s.written) {
        open.iter_mut().take(set.bars.end).skip(set.bars.start).for_each(|bar| *bar = false);
    }
    let own = phrase.notes.iter_mut().filter(|n| n.limb == Limb::Hands);
    for (note, hand) in own.zip(hands) {
        let bar = starts.partition_point(|s| *s <= note.at).saturating_sub(1);
        let (Some(true), Some(start)) = (open.get(bar), starts.get(bar)) else { continue };
        let mut letter = Note { letter: Some(Letter { hand, grace: Vec::new() }), ..note.clone() };
        letter.set_grace(note.grace);
        let Some(Letter { hand, grace }) = letter.letter else { continue };
        note.letter = Some(Letter { hand, grace: grace.clone() });
        let at = note.at - *start;
        let Some(bar) = block.bars.get_mut(bar) else { continue };
        let hit = [&bar.upper, &bar.lower].into_iter().find_map(|voice| {
            voice.hits.binary_search_by_key(&at, |h| h.at).ok().and_then(|i| voice.hits.get(i))
        });
        let span = hit.map_or(block.span, |h| h.span);
        bar.sticking.push(Sticking { at, hand, grace, span });
    }
    let rows = sets.iter().enumerate().filter(|(_, s)| !s.written).filter_map(|(index, set)| {
        let first = *starts.get(set.bars.start)?;
        let end = starts.get(set.bars.end).copied().unwrap_or_else(|| phrase.length());
        let from = phrase.notes.partition_point(|n| n.at < first);
        let mut own = phrase.notes[from..].iter().take_while(|n| n.at < end);
        let any = own.any(|n| n.limb == Limb::Hands);
        any.then(|| (index, write::stick_row(&phrase, first, set.bars.clone())))
    });
    let rows: Vec<(usize, String)> = rows.collect();
    let all = !sets.iter().any(|s| s.written);
    (!rows.is_empty()).then_some(Handed { rule, rows, all })
}

/// Reports the first written letter that a rule asked for in the same block would not give. Of
/// economy, which may have several ways that cost the same, only a row that costs more is told.
fn compare(
    block: &Block,
    phrase: &Phrase,
    hands: &[Hand],
    rule: StickRule,
    diagnostics: &mut Diagnostics,
) {
    let first = block.bars.iter().find_map(|bar| bar.sticking.first());
    let name = rule.words();
    let mend = "the written letters are printed; take them out, or the line with the rule";
    if rule.way == Way::Economy {
        let own: Option<Vec<Hand>> = notes(phrase).map(Note::hand).collect();
        let steps = economy::steps(phrase, &block.kit);
        if let Some(own) = own
            && economy::cost(&steps, &own, rule.first) > economy::cost(&steps, hands, rule.first)
            && let Some(first) = first
        {
            diagnostics
                .warning(
                    first.span,
                    format!(
                        "the written sticking goes a longer way round the kit than `stick: {name}`"
                    ),
                )
                .mend(mend);
        }
        return;
    }
    let differing = notes(phrase)
        .zip(hands)
        .find(|(note, hand)| note.letter.as_ref().is_some_and(|l| l.hand != **hand));
    let Some((note, hand)) = differing else { return };
    let mut start = Time::ZERO;
    for (index, bar) in block.bars.iter().enumerate() {
        let found = bar.sticking.iter().find(|s| start + s.at == note.at);
        if let Some(found) = found {
            let place =
                say::RowBar { row: "stick", bar: (block.bars.len() > 1).then_some(index + 1) };
            diagnostics
                .warning(
                    found.span,
                    format!(
                        "{place}: {} is written where `stick: {name}` gives {}",
                        letter(found.hand),
                        letter(*hand)
                    ),
                )
                .mend(mend);
            return;
        }
        start += bar.length;
    }
}

/// The capital of a hand.
pub(crate) fn letter(hand: Hand) -> char {
    match hand {
        Hand::Right => 'R',
        Hand::Left => 'L',
        Hand::Both => 'B',
    }
}

#[cfg(test)]
mod tests;
