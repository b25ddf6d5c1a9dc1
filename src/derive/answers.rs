//! The answers of a worksheet: blocks of which something is left blank, once more and whole.

use crate::rope::Rope;
use crate::score::printing::{Answers, Blank};
use crate::score::settings::Header;
use crate::score::{Inline, Item, PrintedWords};
use std::sync::Arc;

/// Adds the answers after all other items, where a file asks for them and has any; the index of their
/// heading. The blocks keep their numbers and have no name: who refers to one means the first.
pub(super) fn add(items: &mut Rope<Item>, header: &Header) -> Option<usize> {
    match header.answers {
        Answers::None => return None,
        Answers::LastPage => {}
    }
    let whole = |item: &Item| match item {
        Item::Block(block) if block.parts().any(|part| !part.settings.blank.is_nothing()) => {
            let mut block = block.clone();
            let own = Arc::make_mut(&mut block.block);
            own.parts_mut().for_each(|part| part.settings.blank = Blank::default());
            own.name = None;
            Some(Item::Block(block))
        }
        Item::Block(_) | Item::Heading { .. } | Item::Prose(_) => None,
    };
    let answers: Vec<Item> = items.iter().filter_map(whole).collect();
    if answers.is_empty() {
        return None;
    }
    let words = PrintedWords::of(header.language.as_deref()).answers;
    let at = items.len();
    let text = [Inline::Text(words.into())].into();
    items.push(Item::Heading { level: 2, text, number: None, name: None, end: None });
    items.append(&answers.into());
    Some(at)
}
