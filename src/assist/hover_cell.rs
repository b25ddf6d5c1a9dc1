//! What is written in a row at a place, in words.

use super::hovered::{Hover, holds, told_row};
use super::kits::{asked, kit_at};
use super::spoken;
use super::view::View;
use super::words::{BARLINES, CELLS, KIT_WORDS, MARKS, Told, about};
use crate::score::kit::{InstrumentId, Limb};
use crate::score::{Bar, HitsRow, Kit, Placed, PlayerPart, Sticking, Strike, WordsRow};
use crate::source::{Span, say};
use crate::syntax::tree::{
    Block, Cell, CellKind, Content, CountGroup, Entry, Row, StickCell, StickKind, WordCell,
};

/// What stands in a row at a byte of its block.
pub fn at(view: &View<'_>, block: &Placed<Block>, row: &Row, local: usize) -> Option<Hover> {
    match &row.content {
        Content::Cells(hits, entries) => {
            let cell = entry(entries, local, |group| holds(group.span, local));
            match cell? {
                Found::Group(group) => {
                    let cell = leaf(&group.cells, local)?;
                    Some(Hover {
                        span: cell.span,
                        text: of_cell(view, block, (hits, cell), local)?,
                    })
                }
                Found::Sign(span) => sign(view, block, span),
            }
        }
        Content::Sticks(limb, entries) => {
            match entry(entries, local, |group| holds(group.span, local))? {
                Found::Group(group) => {
                    let cell = stick_leaf(&group.cells, local)?;
                    Some(Hover { span: cell.span, text: of_stick(view, block, *limb, cell)? })
                }
                Found::Sign(span) => sign(view, block, span),
            }
        }
        Content::Words(words, entries) => {
            match entry(entries, local, |group| holds(group.span, local))? {
                Found::Group(group) => {
                    let word = word_leaf(&group.cell, local)?;
                    let text = of_word(*words, &word.value)?;
                    Some(Hover { span: word.span, text })
                }
                Found::Sign(span) => sign(view, block, span),
            }
        }
        Content::Count(entries) => {
            let span_of = |group: &CountGroup| match group {
                CountGroup::Word(word) => word.span,
                CountGroup::Division { span, .. } => *span,
            };
            match entry(entries, local, |group| holds(span_of(group), local))? {
                Found::Group(group) => {
                    Some(Hover { span: span_of(group), text: told_row("count")? })
                }
                Found::Sign(span) => sign(view, block, span),
            }
        }
        Content::KitLetter(letter) => {
            let word = letter.attributes.iter().find(|word| holds(word.span, local))?;
            Some(Hover { span: word.span, text: of_attribute(&word.value)? })
        }
        Content::Syllables(_) => None,
    }
}

/// What a word of a letter of a kit says: `triangle`, `above 3`.
fn of_attribute(word: &str) -> Option<String> {
    let kind = word.split_whitespace().next().unwrap_or_default();
    let is_it = |own: &&str| *own == word || own.split(' ').next() == Some(kind);
    let told = KIT_WORDS.iter().find(|told| told.words.iter().any(is_it))?;
    Some(format!("`{word}`: {}", told.about))
}

/// What stands at a place of a row.
enum Found<'a, T> {
    Group(&'a T),
    /// A sign between groups.
    Sign(Span),
}

fn entry<T>(
    entries: &[Entry<T>],
    local: usize,
    is_it: impl Fn(&T) -> bool,
) -> Option<Found<'_, T>> {
    let sign = entries.iter().find_map(|entry| match entry {
        Entry::Bar(sign) if holds(sign.span, local) => Some(Found::Sign(sign.span)),
        Entry::SameBar(same) if holds(same.span, local) => Some(Found::Sign(same.span)),
        Entry::Group(_) | Entry::Bar(_) | Entry::SameBar(_) => None,
    });
    let group = entries.iter().find_map(|entry| match entry {
        Entry::Group(group) if is_it(group) => Some(Found::Group(group)),
        Entry::Group(_) | Entry::Bar(_) | Entry::SameBar(_) => None,
    });
    group.or(sign)
}

/// A sign between groups.
fn sign(view: &View<'_>, block: &Placed<Block>, span: Span) -> Option<Hover> {
    let text = view.source.slice(span.moved(block.at));
    let told = match text {
        ":|:" | ":||:" => "a repeat ends, and one begins",
        "|:" | "||:" => "a repeat begins",
        ":|" | ":||" => "a repeat ends",
        _ if text.starts_with(':') => "a repeat ends; it is played so often in all",
        _ => about(BARLINES, text)?,
    };
    Some(Hover { span, text: told.to_owned() })
}

/// The cell at a place, which is no split one. A cell that starts there comes before one that ends there.
fn leaf(cells: &[Cell], local: usize) -> Option<&Cell> {
    let inside = cells.iter().find(|cell| cell.span.holds(local));
    let cell = inside.or_else(|| cells.iter().find(|cell| holds(cell.span, local)))?;
    match &cell.kind {
        CellKind::Split(inner) => leaf(inner, local),
        CellKind::Silence
        | CellKind::Hold
        | CellKind::TiedHold
        | CellKind::Slash
        | CellKind::Hit(_) => Some(cell),
    }
}

fn of_cell(
    view: &View<'_>,
    block: &Placed<Block>,
    (row, cell): (&HitsRow, &Cell),
    local: usize,
) -> Option<String> {
    let hit = match &cell.kind {
        CellKind::Silence => return about(CELLS, ".").map(str::to_owned),
        CellKind::Hold => return about(CELLS, "-").map(str::to_owned),
        CellKind::TiedHold => return about(CELLS, "_").map(str::to_owned),
        CellKind::Slash => return about(CELLS, "/").map(str::to_owned),
        CellKind::Split(_) => return None,
        CellKind::Hit(hit) => hit,
    };
    if *row == HitsRow::Band {
        return told_row("band");
    }
    let strike = hit.strikes.iter().find(|strike| holds(strike.span, local));
    let letter = strike.or(hit.strikes.first())?.letter;
    let struck = |kit: &Kit| match row {
        HitsRow::Instrument(name) => kit.by_name(name),
        HitsRow::Band => None,
        HitsRow::Play | HitsRow::Limb(_) => kit.by_letter(letter),
    };
    if let Some(placed) = view.score_of(block)
        && let Some(told) = placed.parts().find_map(|part| of_hit(part, cell.span, &struck))
    {
        return Some(told);
    }
    // What could not be understood as a whole is told by its letter.
    let kit = kit_at(view, block.at, asked(block.settings()));
    struck(&kit).and_then(|id| kit.get(id)).map(spoken::instrument)
}

/// What is struck in a cell, how, by which hand and when: of several drums the one that is asked for.
fn of_hit(
    part: &PlayerPart,
    cell: Span,
    struck: &dyn Fn(&Kit) -> Option<InstrumentId>,
) -> Option<String> {
    let wanted = struck(&part.kit)?;
    let find = |is_it: &dyn Fn(&Strike) -> bool| {
        (1_usize..).zip(&part.bars).find_map(|(number, bar)| {
            let mut hits = bar.upper.hits.iter().chain(&bar.lower.hits);
            hits.find_map(|hit| {
                let strike = hit.strikes.iter().find(|strike| strike.span == cell && is_it(strike));
                Some((number, bar, hit, strike?))
            })
        })
    };
    // A letter may say how the drum of its row is struck, as `o` does: then it is another of the kit.
    let found = find(&|strike| strike.instrument == wanted).or_else(|| find(&|_| true));
    let (number, bar, hit, strike) = found?;
    let instrument = part.kit.get(strike.instrument)?;
    let foot = instrument.limb == Limb::Feet;
    let letters = if foot { &bar.pedalling } else { &bar.sticking };
    let letter = letters.iter().find(|letter| letter.at == hit.at);
    let mut words = vec![spoken::instrument(instrument)];
    words.extend(spoken::signs(hit, strike));
    words.extend(letter.map(|letter| spoken::hand(letter, foot)));
    words.push(when(bar, hit.at, (part.bars.len() > 1).then_some(number)));
    Some(words.join(", "))
}

/// A place in its bar, and which bar it is.
fn when(bar: &Bar, at: crate::score::Time, number: Option<usize>) -> String {
    let place = spoken::place(bar, at);
    match number {
        Some(number) => format!("{place}, bar {number}"),
        None => place,
    }
}

fn stick_leaf(cells: &[StickCell], local: usize) -> Option<&StickCell> {
    let inside = cells.iter().find(|cell| cell.span.holds(local));
    let cell = inside.or_else(|| cells.iter().find(|cell| holds(cell.span, local)))?;
    match &cell.kind {
        StickKind::Split(inner) => stick_leaf(inner, local),
        StickKind::Silence | StickKind::NoLetter | StickKind::Letter { .. } => Some(cell),
    }
}

fn of_stick(
    view: &View<'_>,
    block: &Placed<Block>,
    limb: Limb,
    cell: &StickCell,
) -> Option<String> {
    let (hand, grace, other) = match &cell.kind {
        StickKind::Silence => return about(CELLS, ".").map(str::to_owned),
        StickKind::NoLetter => return Some("a hit without a letter".to_owned()),
        StickKind::Split(_) => return None,
        StickKind::Letter { hand, grace, other, .. } => (*hand, grace, *other),
    };
    let foot = limb == Limb::Feet;
    let letter = Sticking {
        at: crate::score::Time::ZERO,
        hand,
        grace: grace.clone(),
        other,
        span: cell.span,
    };
    let mut words = vec![spoken::hand(&letter, foot)];
    if !grace.is_empty() {
        words.push(say::several(grace.len(), "grace note"));
    }
    let placed = view.score_of(block);
    let place =
        placed.and_then(|placed| placed.parts().find_map(|part| of_letter(part, cell.span)));
    words.extend(place);
    Some(words.join(", "))
}

/// When the hit of a letter is.
fn of_letter(part: &PlayerPart, place: Span) -> Option<String> {
    let several = part.bars.len() > 1;
    (1..).zip(&part.bars).find_map(|(number, bar)| {
        let mut letters = bar.sticking.iter().chain(&bar.pedalling);
        let letter = letters.find(|letter| letter.span == place)?;
        Some(when(bar, letter.at, several.then_some(number)))
    })
}

fn word_leaf(cell: &WordCell, local: usize) -> Option<&crate::syntax::tree::Word> {
    match cell {
        WordCell::Words(words) => {
            words.iter().map(|word| &word.word).find(|word| holds(word.span, local))
        }
        WordCell::Split(cells) => cells.iter().find_map(|cell| word_leaf(cell, local)),
    }
}

/// A word of a row of words.
fn of_word(row: WordsRow, word: &str) -> Option<String> {
    match row {
        WordsRow::Say => told_row("say"),
        WordsRow::Cue => told_row("cue"),
        WordsRow::Dyn => Some(match word {
            "<" | "cresc" => "louder and louder, up to the next dynamic".to_owned(),
            ">" | "dim" => "softer and softer, up to the next dynamic".to_owned(),
            "!" => "a hairpin ends here".to_owned(),
            _ => told_row("dyn")?,
        }),
        WordsRow::Mark => {
            let name = word.split('=').next().unwrap_or(word);
            let same = |told: &&Told| {
                told.words.iter().any(|own| *own == word || own.split('=').next() == Some(name))
            };
            let told = MARKS.iter().find(same);
            told.map(|told| format!("`{word}`: {}", told.about)).or_else(|| told_row("mark"))
        }
    }
}
