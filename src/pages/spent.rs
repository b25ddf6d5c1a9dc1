//! Music that is given up as soon as it is set, where nobody asks for it again.

use super::spoken;
use crate::drawing::LineWriter;
use crate::parallel::{Each, map_in_order};
use crate::score::settings::NotationKey;
use crate::score::{Block, Item, PlacedBlock, PlayerPart, Score, exercises};
use std::ops::Range;
use std::sync::Arc;

/// Who writes lines of music as soon as they are set, and the music that is given up for it.
pub struct Spending<'a> {
    /// Who writes them.
    pub writer: &'a dyn LineWriter,
    /// The music.
    pub music: SpentMusic,
}

/// What is said of blocks whose music is not there any more, by the index of the item.
pub type Said = Vec<Option<Arc<str>>>;

/// Blocks taken out of a score, which has them without their bars from then on. What a score without bars is asked is
/// answered by other things of its blocks: names, titles, numbers, settings.
#[derive(Debug, Default)]
pub struct SpentMusic {
    /// The blocks with their bars, by the index of the item.
    blocks: Vec<Option<PlacedBlock>>,
    said: Said,
}

impl SpentMusic {
    /// Takes the blocks out of a score whose bars are needed for nothing but to be set: not for a notation key, and
    /// not for the numbers of a series, which references name.
    pub fn take_from(score: &mut Score) -> Self {
        if score.header.key != NotationKey::None {
            return Self::default();
        }
        let items: Vec<Item> = std::mem::take(&mut score.items).into_iter().collect();
        let without_bars = |item: Item| match item {
            Item::Block(block) if exercises(&block.part.bars).is_empty() => {
                let spent = PlacedBlock { block: Arc::new(without_bars(&block)), ..block.clone() };
                (Item::Block(spent), Some(block))
            }
            Item::Block(_) | Item::Heading { .. } | Item::Prose(_) => (item, None),
        };
        let items = map_in_order(Each::Small, items, without_bars);
        let (items, blocks): (Vec<_>, Vec<_>) = items.into_iter().unzip();
        score.items = items.into();
        let said = vec![None; blocks.len()];
        Self { blocks, said }
    }

    /// The items of a score in a range, with their bars; whoever has them is the last.
    pub fn items(&mut self, score: &Score, range: Range<usize>) -> Vec<Item> {
        let mut items: Vec<Item> = score.items.range(range.clone()).cloned().collect();
        for (index, item) in range.zip(&mut items) {
            if let Some(block) = self.blocks.get_mut(index).and_then(Option::take) {
                *item = Item::Block(block);
            }
        }
        items
    }

    /// Notes what is said of the blocks among items, from an index on, where music is given up.
    pub fn say(&mut self, from: usize, items: &[Item]) {
        let places = self.said.get_mut(from..).unwrap_or_default().iter_mut();
        let unsaid = places.zip(items).filter_map(|(place, item)| Some((place, item.block()?)));
        map_in_order(Each::Small, unsaid.collect(), |(place, block)| {
            *place = Some(spoken::aloud(block).into());
        });
    }

    /// What is said of the blocks.
    pub fn said(self) -> Said {
        self.said
    }
}

fn without_bars(block: &Block) -> Block {
    let PlayerPart { player, settings, kit, bars: _ } = &block.part;
    let (player, settings, kit) = (player.clone(), settings.clone(), kit.clone());
    block.played_by(PlayerPart { player, settings, kit, bars: Vec::new() })
}
