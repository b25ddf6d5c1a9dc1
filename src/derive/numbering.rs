//! Numbers that begin again in each chapter: `3.12` is the twelfth of the third.

use crate::score::{Inline, Item};
use std::sync::Arc;

/// Numbers blocks by chapters, which are `#` headings, and the chapters themselves. A chapter with
/// nothing to number in it, such as a preface, has no number; what stands before the first chapter
/// is numbered as it is without chapters.
pub(crate) fn by_chapter(items: &mut [Item]) {
    let mut chapter = 0;
    let mut number = 0;
    // A chapter in which nothing was numbered yet.
    let mut fresh = None;
    for index in 0..items.len() {
        match items.get(index) {
            Some(Item::Heading { level: 1, .. }) => fresh = Some(index),
            Some(Item::Block(block)) if block.number.is_some() => {
                if let Some(heading) = fresh.take() {
                    chapter += 1;
                    number = 0;
                    if let Some(Item::Heading { text, .. }) = items.get_mut(heading) {
                        text.insert(0, Inline::Text(format!("{chapter}  ")));
                    }
                }
                number += 1;
                if let Some(Item::Block(block)) = items.get_mut(index) {
                    let block = Arc::make_mut(&mut block.block);
                    block.number = Some(number);
                    block.chapter = (chapter > 0).then_some(chapter);
                }
            }
            Some(
                Item::Heading { .. } | Item::Paragraph(_) | Item::List { .. } | Item::Block(_),
            )
            | None => {}
        }
    }
}
