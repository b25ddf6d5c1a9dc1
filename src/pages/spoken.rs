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
        words.push_str(" Bar ");
        words.push_str(&(index + 1).to_string());
        say(&mut words, ": ", |words| say_bar(words, block, index));
        words.push('.');
    }
    if all > MOST_BARS {
        words.push_str(&format!(" And {} more bars.", all - MOST_BARS));
    }
    words
}

/// Adds what there is to say after something that is said before it; nothing where there is nothing. Whether there is.
fn say(words: &mut String, before: &str, what: impl FnOnce(&mut String)) -> bool {
    let start = words.len();
    words.push_str(before);
    what(words);
    let is_said = words.len() > start + before.len();
    if !is_said {
        words.truncate(start);
    }
    is_said
}

/// Says a bar, of each player in turn where there are several.
fn say_bar(words: &mut String, block: &PlacedBlock, index: usize) {
    let mut between = "";
    for part in block.parts() {
        let Some(bar) = part.bars.get(index) else { continue };
        let is_said = say(words, between, |words| {
            let name = part.player.as_ref().map(|player| format!("{}: ", player.name));
            say(words, name.as_deref().unwrap_or(""), |words| {
                match bar.again.map(|again| again.bars) {
                    Some(1) => words.push_str("the bar before again"),
                    Some(bars) => words.push_str(&format!("the bar {bars} bars before again")),
                    None => say_music(words, bar, part.settings.blank),
                }
            });
        });
        if is_said {
            between = "; ";
        }
    }
}

/// What is left blank is not said.
fn say_music(words: &mut String, bar: &Bar, blank: Blank) {
    let counts = bar.counts.iter().filter(|count| count.sounded && !blank.counts);
    let counts = counts.map(|count| if count.text == "&" { "and" } else { count.text.as_str() });
    let counted = say(words, "count", |words| say_each(words, counts));
    let hands = bar.sticking.iter().filter(|_| !blank.sticking).map(|letter| hand(letter.hand));
    let before = if counted { "; sticking" } else { "sticking" };
    say(words, before, |words| say_each(words, hands));
}

fn say_each<'a>(words: &mut String, each: impl Iterator<Item = &'a str>) {
    for word in each {
        words.push(' ');
        words.push_str(word);
    }
}

fn hand(hand: Hand) -> &'static str {
    match hand {
        Hand::Right => "right",
        Hand::Left => "left",
        Hand::Both => "both",
    }
}
