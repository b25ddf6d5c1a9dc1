//! What a reader who cannot see a block is told of it: what it is called, its counting and its
//! sticking.

use crate::drawing::{Group, GroupKind, Node};
use crate::score::printing::Blank;
use crate::score::{Bar, Hand, PlacedBlock};
use std::sync::Arc;

/// Bars that are read aloud; a listener is told how many follow.
const MOST_BARS: usize = 16;

/// The marks of a block as the group of it, of which something may be said already.
pub fn group(block: &PlacedBlock, said: Option<&Arc<str>>, children: Vec<Node>) -> Group {
    let spoken = said.cloned().unwrap_or_else(|| aloud(block).into());
    let kind = GroupKind::Block { title: name(block), spoken, at: block.at };
    Group { kind, place: None, children }
}

/// What a reader knows a block by: what is printed of it, or else its name.
pub fn name(block: &PlacedBlock) -> String {
    match (&block.title, block.printed_number(), &block.name) {
        (Some(title), ..) => title.clone(),
        (None, Some(number), _) => number,
        (None, None, Some(name)) => name.clone(),
        (None, None, None) => "music".to_owned(),
    }
}

/// The block in words: `Bar 1: count 1 e and a; sticking right left right left.`
pub fn aloud(block: &PlacedBlock) -> String {
    let mut words = format!("{}.", name(block));
    if let Some(level) = &block.settings.level {
        words.push_str(&format!(" {}.", level.spoken()));
    }
    let all = block.part.bars.len();
    for index in 0..all.min(MOST_BARS) {
        words.push_str(&format!(" Bar {}", index + 1));
        let said = said_of_bar(block, index);
        words.push_str(&if said.is_empty() { ".".to_owned() } else { format!(": {said}.") });
    }
    if all > MOST_BARS {
        words.push_str(&format!(" And {} more bars.", all - MOST_BARS));
    }
    words
}

/// What is said of a bar, of each player in turn where there are several.
fn said_of_bar(block: &PlacedBlock, index: usize) -> String {
    let mut said = Vec::new();
    for part in block.parts() {
        let Some(bar) = part.bars.get(index) else { continue };
        let words = match bar.again.map(|again| again.bars) {
            Some(1) => "the bar before again".to_owned(),
            Some(bars) => format!("the bar {bars} bars before again"),
            None => bar_words(bar, part.settings.blank),
        };
        match &part.player {
            _ if words.is_empty() => {}
            Some(player) => said.push(format!("{}: {words}", player.name)),
            None => said.push(words),
        }
    }
    said.join("; ")
}

/// What is left blank is not said.
fn bar_words(bar: &Bar, blank: Blank) -> String {
    let counts: Vec<&str> = bar
        .counts
        .iter()
        .filter(|count| count.sounded && !blank.counts)
        .map(|count| if count.text == "&" { "and" } else { count.text.as_str() })
        .collect();
    let letters = bar.sticking.iter().filter(|_| !blank.sticking);
    let hands: Vec<&str> = letters.map(|letter| hand(letter.hand)).collect();
    let mut parts = Vec::new();
    if !counts.is_empty() {
        parts.push(format!("count {}", counts.join(" ")));
    }
    if !hands.is_empty() {
        parts.push(format!("sticking {}", hands.join(" ")));
    }
    parts.join("; ")
}

fn hand(hand: Hand) -> &'static str {
    match hand {
        Hand::Right => "right",
        Hand::Left => "left",
        Hand::Both => "both",
    }
}
