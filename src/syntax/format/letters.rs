//! Which cells of a counted set take a letter, so that each letter of a sticking can stand under
//! its syllable.

use crate::syntax::tree::{
    Cell, CellKind, Content, Document, Entry, Item, Row, StickCell, StickGroup, StickKind,
};
use std::collections::BTreeSet;

/// Rows of instruments the feet play, and letters of those in the built-in kit.
const FOOT_ROWS: [&str; 5] = ["kick", "bass", "bass-drum", "foot-hat", "hat-foot"];
const FOOT_LETTERS: [char; 2] = ['k', 'p'];

/// The letters the feet play: those of the built-in kit, and what the kits of a file say.
pub fn feet(document: &Document) -> BTreeSet<char> {
    let mut feet = BTreeSet::from(FOOT_LETTERS);
    for item in &document.items {
        let Item::Block(block) = item else { continue };
        for row in block.sets.iter().flat_map(|set| &set.rows) {
            let Content::KitLetter(letter) = &row.content else { continue };
            let Some(name) = row.name.value.chars().next() else { continue };
            for word in &letter.attributes {
                match word.value.as_str() {
                    "feet" => {
                        feet.insert(name);
                    }
                    "hands" => {
                        feet.remove(&name);
                    }
                    _ => {}
                }
            }
        }
    }
    feet
}

/// For each bar of a set that is counted, the numbers of the syllables on which hands, or feet,
/// strike.
pub fn slots(rows: &[&Row], feet: &BTreeSet<char>, of_feet: bool) -> Vec<BTreeSet<u64>> {
    let mut bars: Vec<BTreeSet<u64>> = Vec::new();
    for row in rows {
        let Content::Cells(entries) = &row.content else { continue };
        let name = row.name.value.as_str();
        let plays = |letter: char| match name {
            "play" => feet.contains(&letter) == of_feet,
            "hands" => !of_feet,
            "feet" => of_feet,
            _ => FOOT_ROWS.contains(&name) == of_feet,
        };
        let mut number = 0;
        let mut at = 0;
        for entry in entries {
            match entry {
                Entry::Group(group) => {
                    for cell in &group.cells {
                        if bars.len() <= number {
                            bars.resize_with(number + 1, BTreeSet::new);
                        }
                        if strikes(cell, &plays)
                            && let Some(bar) = bars.get_mut(number)
                        {
                            bar.insert(at);
                        }
                        at += 1;
                    }
                }
                Entry::SameBar(_) => at += 1,
                // Signs that follow one another close one bar.
                Entry::Bar(_) => {
                    number += usize::from(at > 0);
                    at = 0;
                }
            }
        }
    }
    bars
}

/// Whether a limb strikes in a cell; a split may hold several hits and counts as none.
fn strikes(cell: &Cell, plays: &dyn Fn(char) -> bool) -> bool {
    match &cell.kind {
        CellKind::Hit(hit) => hit.strikes.iter().any(|s| plays(s.letter)),
        _ => false,
    }
}

/// How many letters a group has; nothing where it has dots or splits, which place it themselves.
pub fn count(group: &StickGroup) -> Option<usize> {
    let letter = |c: &StickCell| matches!(c.kind, StickKind::Letter { .. } | StickKind::NoLetter);
    group.cells.iter().all(letter).then_some(group.cells.len())
}
