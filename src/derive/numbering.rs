//! Numbers of blocks: through the file, or anew in each chapter: `3.12` is the twelfth of the third.

use crate::score::settings::Numbers;
use crate::score::{BlockNumber, BlockWord, Item};

/// Numbers fills, exercises and rudiments, and chapters where numbers begin anew in each. These are the
/// `#` headings; one with nothing to number in it, such as a preface, has no number, and what stands
/// before the first is numbered as it is without chapters.
pub(crate) fn number(items: &mut [Item], numbers: Numbers) {
    let mut chapter = None;
    let mut number = 0;
    // The number of a chapter in which nothing was numbered yet.
    let mut fresh: Option<&mut Option<u32>> = None;
    for item in items {
        match item {
            Item::Heading { level: 1, number, .. } if numbers == Numbers::ByChapter => {
                fresh = Some(number);
            }
            Item::Block(block) if is_numbered(block.word) => {
                if let Some(heading) = fresh.take() {
                    chapter = Some(chapter.unwrap_or(0) + 1);
                    number = 0;
                    *heading = chapter;
                }
                number += 1;
                block.number = Some(BlockNumber { chapter, number });
            }
            Item::Heading { .. } | Item::Prose(_) | Item::Block(_) => {}
        }
    }
}

/// Whether blocks of a word are numbered.
pub(super) fn is_numbered(word: BlockWord) -> bool {
    match word {
        BlockWord::Fill | BlockWord::Exercise | BlockWord::Rudiment => true,
        BlockWord::Groove
        | BlockWord::Kit
        | BlockWord::Syllables
        | BlockWord::Variation
        | BlockWord::Context
        | BlockWord::Series
        | BlockWord::Edition => false,
    }
}
