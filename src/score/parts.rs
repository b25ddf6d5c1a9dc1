//! The pages of one player: a score without what the others play.

use super::{Block, Item, PlacedBlock, PlayerPart, Score, name_key, small_notes};
use std::sync::Arc;

impl Score {
    /// The names of the players of all blocks, in the order in which they come in.
    pub fn players(&self) -> Vec<&str> {
        let mut names: Vec<&str> = Vec::new();
        for item in &self.items {
            let Item::Block(block) = item else { continue };
            for player in block.parts().filter_map(|part| part.player.as_ref()) {
                if !names.contains(&player.name.as_str()) {
                    names.push(&player.name);
                }
            }
        }
        names
    }

    /// The same for one player, whose name in capitals or not is this one: blocks of several players have
    /// that player's part alone, blocks in which the player has none are left out, and all else stays, numbers
    /// too. Under the title stands whose part it is. Nothing where no block has the player.
    #[must_use]
    pub fn part_of(&self, player: &str) -> Option<Self> {
        let name = *self.players().iter().find(|name| name_key(name) == name_key(player))?;
        let alone = |item: &Item| match item {
            Item::Block(placed) if placed.part.player.is_some() => {
                let block = Arc::new(placed.block.part_of(name)?);
                Some(Item::Block(PlacedBlock { block, ..placed.clone() }))
            }
            Item::Block(_) | Item::Heading { .. } | Item::Prose(_) => Some(item.clone()),
        };
        let mut header = self.header.clone();
        header.subtitle = Some(match header.subtitle.take() {
            Some(subtitle) => format!("{subtitle} \u{2013} {name}"),
            None => name.to_owned(),
        });
        let once = self.items_once().filter_map(alone).count();
        let items = self.items.iter().filter_map(alone).collect();
        let answers = self.answers.map(|_| once);
        Some(Self { header, items, answers, left_out: self.left_out.clone() })
    }
}

impl Block {
    /// The block with what one player plays, and what holds for all.
    fn part_of(&self, player: &str) -> Option<Self> {
        let is_it = |part: &&PlayerPart| part.player.as_ref().is_some_and(|own| own.name == player);
        let mut part = self.parts().find(is_it)?.clone();
        let of = |name: &str| {
            self.parts().find(|part| part.player.as_ref().is_some_and(|own| own.name == name))
        };
        small_notes::show_cues(&mut part, of);
        if !std::ptr::eq(&self.part, self.parts().find(is_it)?) {
            for (bar, lead) in part.bars.iter_mut().zip(&self.part.bars) {
                let shared = lead.marks.iter().filter(|mark| mark.kind.is_of_all()).cloned();
                bar.marks.extend(shared);
                bar.marks.sort_by_key(|mark| mark.at);
            }
        }
        Some(Self { part, others: Vec::new(), ..self.clone() })
    }
}
