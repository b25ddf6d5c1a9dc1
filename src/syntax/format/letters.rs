//! Which cells of a counted set take a letter, so that each letter of a sticking can stand under
//! its syllable.

use crate::score::kit::{Family, Limb};
use crate::score::{HitsRow, Kit};
use crate::syntax::tree::{
    Cell, CellKind, Content, Document, Entry, Item, Row, StickCell, StickGroup, StickKind,
};
use crate::syntax::values::kit::KitAttribute;
use std::collections::BTreeSet;

/// What the feet play: by the built-in kit, and by what the kits of a file say.
pub struct Feet {
    letters: BTreeSet<char>,
    /// Names of rows.
    names: BTreeSet<String>,
}

impl Feet {
    /// What the feet play in a file.
    pub fn of(document: &Document) -> Self {
        let mut feet = Self { letters: BTreeSet::new(), names: BTreeSet::new() };
        for instrument in Kit::five_piece().instruments {
            if instrument.limb == Limb::Feet {
                feet.letters.extend(instrument.letter);
                feet.names.extend(instrument.aliases);
                feet.names.insert(instrument.name);
            }
        }
        for item in &document.items {
            let Item::Block(block) = item else { continue };
            block.rows().for_each(|row| feet.change(row));
        }
        feet
    }

    /// Takes in what a row of a kit says of its letter.
    fn change(&mut self, row: &Row) {
        let Content::KitLetter(kit) = &row.content else { return };
        let Some(letter) = row.name.value.chars().next() else { return };
        let said = || kit.attributes.iter().filter_map(|word| KitAttribute::read(&word.value).ok());
        let of_the_kick =
            said().any(|said| said == KitAttribute::Family(Family::Kick)).then_some(Limb::Feet);
        let limb = said().find_map(|said| match said {
            KitAttribute::Limb(limb) => Some(limb),
            _ => None,
        });
        let others = said().filter_map(|said| match said {
            KitAttribute::Also(name) => Some(name),
            _ => None,
        });
        let names = others.chain([kit.name.value.clone()]);
        match limb.or(of_the_kick) {
            Some(Limb::Feet) => {
                self.letters.insert(letter);
                self.names.extend(names);
            }
            Some(Limb::Hands) => {
                self.letters.remove(&letter);
                names.for_each(|name| {
                    self.names.remove(&name);
                });
            }
            None => {}
        }
    }

    /// The limbs that play a letter in a row.
    fn limb(&self, row: &HitsRow, letter: char) -> Limb {
        let by_feet = match row {
            HitsRow::Play => self.letters.contains(&letter),
            HitsRow::Limb(limb) => return *limb,
            HitsRow::Band => false,
            HitsRow::Instrument(name) => self.names.contains(name),
        };
        if by_feet { Limb::Feet } else { Limb::Hands }
    }
}

/// For each bar of a set that is counted, the numbers of the syllables on which some limbs strike.
pub fn slots(rows: &[&Row], feet: &Feet, limb: Limb) -> Vec<BTreeSet<u64>> {
    let mut bars: Vec<BTreeSet<u64>> = Vec::new();
    for row in rows {
        let Content::Cells(word, entries) = &row.content else { continue };
        // What the band plays is written in beats, whatever is counted.
        if *word == HitsRow::Band {
            continue;
        }
        let plays = |letter: char| feet.limb(word, letter) == limb;
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
