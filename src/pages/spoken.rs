//! What a reader who cannot see a block is told of it: what it is called, its counting and its
//! sticking.

use crate::drawing::{Group, GroupKind, Node};
use crate::score::printing::Blank;
use crate::score::{Bar, Hand, PlacedBlock};

/// Bars that are read aloud; a listener is told how many follow.
const MOST_BARS: usize = 16;

/// The marks of a block as the group of it.
pub fn group(block: &PlacedBlock, children: Vec<Node>) -> Group {
    let kind = GroupKind::Block { title: name(block), spoken: aloud(block), at: block.at };
    Group { kind, place: None, children }
}

/// What a reader knows a block by.
pub fn name(block: &PlacedBlock) -> String {
    match (&block.title, &block.name, block.printed_number()) {
        (Some(title), ..) => title.clone(),
        (None, Some(name), _) => name.clone(),
        (None, None, Some(number)) => number,
        (None, None, None) => "music".to_owned(),
    }
}

/// The block in words: `Bar 1: count 1 e and a; sticking right left right left.`
pub fn aloud(block: &PlacedBlock) -> String {
    let mut words = format!("{}.", name(block));
    for (index, bar) in block.part.bars.iter().take(MOST_BARS).enumerate() {
        words.push_str(&format!(" Bar {}", index + 1));
        match bar.again.map(|again| again.bars) {
            Some(1) => {
                words.push_str(": the bar before again.");
                continue;
            }
            Some(bars) => {
                words.push_str(&format!(": the bar {bars} bars before again."));
                continue;
            }
            None => {}
        }
        let said = bar_words(bar, block.part.settings.blank);
        words.push_str(&if said.is_empty() { ".".to_owned() } else { format!(": {said}.") });
    }
    if block.part.bars.len() > MOST_BARS {
        words.push_str(&format!(" And {} more bars.", block.part.bars.len() - MOST_BARS));
    }
    words
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
