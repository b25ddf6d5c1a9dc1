//! What stands at a place, in words.

use super::hover_cell;
use super::hovered::{Hover, holds, told_row};
use super::kits::{asked, kit_at};
use super::names::{self, Named};
use super::spoken;
use super::view::View;
use super::words::{BLOCK_WORDS, KIT_WORDS, about};
use crate::interpret::key_table::{KEYS, KeyDefinition, Reach};
use crate::score::{BlockWord, Placed, RowWord};
use crate::source::say;
use crate::syntax::tree::{Block, Content, Item, Row, Setting};

/// What stands at a byte; nothing where there is nothing to say.
#[must_use]
pub fn hover(view: &View<'_>, offset: usize) -> Option<Hover> {
    let named = names::occurrences(view);
    if let Some(name) = names::at(&named, offset) {
        let text = match name.named {
            Named::Block => named_block(view, &name.name)?,
            Named::Player => format!("the player {}", name.name),
        };
        return Some(Hover { span: name.span, text });
    }
    if let Some(block) = view.block_at(offset) {
        return in_block(view, block, offset);
    }
    let starts = view.document.items.iter().filter_map(Item::file_start);
    let mut lines = view.document.header.iter().chain(starts.flat_map(|start| start.header.iter()));
    lines.find_map(|line| of_line(line, offset, None))
}

/// What a block of a name is.
pub fn named_block(view: &View<'_>, name: &str) -> Option<String> {
    use crate::score::name_key;
    let is_it = |block: &&Placed<Block>| {
        block.name.as_ref().is_some_and(|own| name_key(&own.value) == name_key(name))
    };
    let block = view.blocks().find(is_it)?;
    Some(told_block(view, block))
}

/// A block with its number and its title: `fill 3 “Gallop home”, two bars`.
pub fn told_block(view: &View<'_>, block: &Placed<Block>) -> String {
    let placed = view.score_of(block);
    let mut text = block.word.value.as_str().to_owned();
    if let Some(number) = placed.and_then(|placed| placed.number) {
        text.push_str(&format!(" {number}"));
    }
    if let Some(title) = &block.title {
        text.push_str(&format!(" “{}”", title.value));
    }
    let bars = placed.map_or(0, |placed| placed.part.bars.len());
    if bars > 0 {
        text.push_str(&format!(", {}", say::several(bars, "bar")));
    }
    text
}

fn in_block(view: &View<'_>, block: &Placed<Block>, offset: usize) -> Option<Hover> {
    let local = offset.checked_sub(block.at)?;
    let placed = |hover: Hover| Hover { span: hover.span.moved(block.at), ..hover };
    if holds(block.word.span, local) {
        let word = block.word.value;
        let told = about(BLOCK_WORDS, word.as_str())?;
        let text = format!("`{}`: {told}", word.as_str());
        return Some(placed(Hover { span: block.word.span, text }));
    }
    let word = block.word.value;
    let line = block.settings().find_map(|line| of_line(line, local, Some(word)));
    if let Some(hover) = line {
        return Some(placed(hover));
    }
    let row = block.rows().find(|row| holds(row.span, local))?;
    let found = if holds(row.name.span, local) {
        row_name(view, block, row)
    } else {
        hover_cell::at(view, block, row, local)
    };
    found.map(placed)
}

/// The word a row begins with.
fn row_name(view: &View<'_>, block: &Placed<Block>, row: &Row) -> Option<Hover> {
    let (span, name) = (row.name.span, row.name.value.as_str());
    let text = match &row.content {
        Content::KitLetter(letter) => format!("the letter of {}", letter.name.value),
        Content::Syllables(_) => format!("what is said where a beat has {name} parts"),
        Content::Count(_) | Content::Sticks(..) | Content::Words(..) => told_row(name)?,
        Content::Cells(..) if RowWord::is_word(name) => told_row(name)?,
        Content::Cells(..) => {
            let kit = kit_at(view, block.at, asked(block.settings()));
            let instrument = kit.by_name(name).and_then(|id| kit.get(id))?;
            let letter = instrument.letter.map(|letter| format!("; its letter is `{letter}`"));
            format!("hits of the {}{}", spoken::instrument(instrument), letter.unwrap_or_default())
        }
    };
    Some(Hover { span, text })
}

/// A line of a key and its value.
fn of_line(line: &Setting, offset: usize, word: Option<BlockWord>) -> Option<Hover> {
    let whole = line.key.span.join(line.value.span);
    if !holds(whole, offset) {
        return None;
    }
    let span = if holds(line.key.span, offset) { line.key.span } else { line.value.span };
    let name = line.key.value.to_lowercase();
    let own = word.and_then(|word| line_of(word, &name));
    let text = match own {
        Some(told) => format!("`{name}:` {told}"),
        None => told_key(KEYS.iter().find(|key| key.names.contains(&name.as_str()))?),
    };
    Some(Hover { span, text })
}

/// What a line does that only blocks of this word have.
pub fn line_of(word: BlockWord, name: &str) -> Option<&'static str> {
    use super::words::{CONTEXT_LINES, EDITION_LINES, SERIES_LINES, VARIATION_LINES};
    match word {
        BlockWord::Variation => about(VARIATION_LINES, name),
        BlockWord::Context => about(CONTEXT_LINES, name),
        BlockWord::Series => about(SERIES_LINES, name),
        BlockWord::Edition => about(EDITION_LINES, name),
        BlockWord::Kit => about(KIT_WORDS, name),
        BlockWord::Groove
        | BlockWord::Fill
        | BlockWord::Exercise
        | BlockWord::Rudiment
        | BlockWord::Syllables => None,
    }
}

/// A key, what it may say and where it may stand.
pub fn told_key(key: &KeyDefinition) -> String {
    let place = match key.reach {
        Reach::File => "it stands at the head of the file",
        Reach::FileOrBlock => "at the head of the file, or in a block for that block alone",
        Reach::Block => "at the head of the file or in a block",
        Reach::Player => "at the head of the file, in a block or under a player",
        Reach::Below => "in a block or under a player",
        Reach::PlayerOnly => "under a player",
        Reach::Set => "at the head of the file, in a block, or after a line of `--`",
    };
    format!("`{}:` {}; {place}", key.name(), key.help)
}
