//! Letters made for blocks that are written.

use super::economy;
use super::rule;
use crate::derive::account::Account;
use crate::derive::cells::Finder;
use crate::derive::codes;
use crate::derive::phrase::{LimbNote, Phrase};
use crate::derive::text;
use crate::interpret::same_bars::keep_true_repeats;
use crate::interpret::written::{SetOfRows, StickRequest};
use crate::score::kit::Limb;
use crate::score::settings::{StickRule, Way};
use crate::score::{Bar, Hand, PlayerPart, RowWord, Span, Sticking, Time};
use crate::source::Diagnostics;
use crate::source::say::RowBar;

/// Letters that were made for a block.
#[derive(Clone, Debug)]
pub(crate) struct Handed {
    pub(crate) rule: StickRule,
    /// No letter of the hands was written.
    pub(crate) all: bool,
    /// The music with its letters.
    phrase: Phrase,
}

/// Makes the letters of the sets that have no `stick` row. Where a block asks for a rule and has
/// a row as well, the row stays, and a letter the rule would not give is reported.
pub(crate) fn give(
    part: &mut PlayerPart,
    asked: &StickRequest,
    diagnostics: &mut Diagnostics,
) -> Option<Handed> {
    let given = letters(part, asked, diagnostics);
    // Only a bar that has the same letters can be a sign.
    keep_true_repeats(&mut part.bars);
    given
}

fn letters(
    part: &mut PlayerPart,
    asked: &StickRequest,
    diagnostics: &mut Diagnostics,
) -> Option<Handed> {
    let StickRequest { rule, asked_here, sets, crossed, span: _ } = asked;
    let kit = part.kit.clone();
    let mut phrase = Phrase::of(part, &kit).ok()?;
    phrase.give_crossed(crossed);
    let hands = rule::hands(*rule, &phrase, &kit);
    if *asked_here && sets.iter().any(|s| s.written) {
        compare(part, &phrase, &hands, *rule, diagnostics);
    }
    let starts = starts(&part.bars);
    let mut open = vec![true; part.bars.len()];
    for set in sets.iter().filter(|s| s.written) {
        open.iter_mut().take(set.bars.end).skip(set.bars.start).for_each(|bar| *bar = false);
    }
    let own = phrase.notes.iter_mut().filter(|n| n.limb == Limb::Hands);
    for (note, hand) in own.zip(hands) {
        let index = starts.partition_point(|s| *s <= note.at).saturating_sub(1);
        let (Some(true), Some(start)) = (open.get(index), starts.get(index)) else { continue };
        rule::give(note, hand);
        let Some(letter) = &note.letter else { continue };
        let at = note.at - *start;
        let Some(bar) = part.bars.get_mut(index) else { continue };
        let span = cell(bar, at).unwrap_or(bar.span);
        bar.sticking.push(Sticking {
            at,
            hand,
            grace: letter.grace.clone(),
            other: letter.other,
            span,
        });
    }
    let any = sets.iter().any(|set| !set.written && has_hands(&phrase, &starts, set));
    let all = !sets.iter().any(|s| s.written);
    any.then_some(Handed { rule: *rule, all, phrase })
}

/// The starts of bars, from the start of the block.
fn starts(bars: &[Bar]) -> Vec<Time> {
    let mut at = Time::ZERO;
    let start = |bar: &Bar| {
        let start = at;
        at += bar.length;
        start
    };
    bars.iter().map(start).collect()
}

/// The cell of the hit at a time of a bar.
fn cell(bar: &Bar, at: Time) -> Option<Span> {
    [&bar.upper, &bar.lower].into_iter().find_map(|voice| {
        let index = voice.hits.binary_search_by_key(&at, |h| h.at).ok()?;
        voice.hits.get(index).map(|hit| hit.span)
    })
}

/// Whether the hands play anything in a set.
fn has_hands(phrase: &Phrase, starts: &[Time], set: &SetOfRows) -> bool {
    let Some(first) = starts.get(set.bars.start) else { return false };
    let end = starts.get(set.bars.end).copied().unwrap_or_else(|| phrase.length());
    phrase.hands().any(|note| note.at >= *first && note.at < end)
}

/// The letters told, and as rows: in place of the line that asks for them, else after the last row
/// of their set.
pub(crate) fn account(
    (part, span): (&PlayerPart, Span),
    asked: &StickRequest,
    handed: &Handed,
    finder: &mut Finder,
) -> Account {
    let rule = handed.rule;
    let starts = starts(&part.bars);
    let mut steps = vec![format!("`stick: {}`: {}", rule.words(), rule.told())];
    let mut edits = Vec::new();
    for set in asked.sets.iter().filter(|set| !set.written) {
        if !has_hands(&handed.phrase, &starts, set) {
            continue;
        }
        let Some(start) = starts.get(set.bars.start) else { continue };
        let row = text::stick_row(&handed.phrase, &part.kit, *start, set.bars.clone(), finder);
        let row = format!("stick  {row}");
        steps.push(format!("    {row}"));
        match (set.asked, set.end) {
            (Some(line), _) => edits.push((line, row)),
            (None, Some(end)) => edits.push((Span::new(end, end), format!("\n  {row}"))),
            (None, None) => {}
        }
    }
    Account { span, steps, blocks: None, edits }
}

/// Reports the first written letter that a rule asked for in the same block would not give. Of
/// economy, which may have several ways that cost the same, only a row that costs more is told.
fn compare(
    part: &PlayerPart,
    phrase: &Phrase,
    hands: &[Hand],
    rule: StickRule,
    diagnostics: &mut Diagnostics,
) {
    let first = part.bars.iter().find_map(|bar| bar.sticking.first());
    let name = rule.words();
    let mend = "the written letters are printed; take them out, or the line with the rule";
    if rule.way == Way::Economy {
        let own: Option<Vec<Hand>> = phrase.hands().map(LimbNote::hand).collect();
        let steps = economy::steps(phrase, &part.kit);
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
                .code(codes::STICKING_LONGER_WAY)
                .mend(mend);
        }
        return;
    }
    let differing = phrase
        .hands()
        .zip(hands)
        .find(|(note, hand)| note.letter.as_ref().is_some_and(|l| l.hand != **hand));
    let Some((note, hand)) = differing else { return };
    let mut start = Time::ZERO;
    for (index, bar) in part.bars.iter().enumerate() {
        let found = bar.sticking.iter().find(|s| start + s.at == note.at);
        if let Some(found) = found {
            let place = RowBar {
                row: RowWord::Sticks(Limb::Hands).as_str(),
                bar: (part.bars.len() > 1).then_some(index + 1),
            };
            diagnostics
                .warning(
                    found.span,
                    format!(
                        "{place}: {} is written where `stick: {name}` gives {}",
                        found.hand.letter(),
                        hand.letter()
                    ),
                )
                .code(codes::STICKING_DIFFERS)
                .mend(mend);
            return;
        }
        start += bar.length;
    }
}
