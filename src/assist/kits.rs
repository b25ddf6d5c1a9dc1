//! The kit that is in force at a place.

use super::view::View;
use crate::interpret::kit_rows;
use crate::score::{BlockWord, Kit, name_key};
use crate::source::Diagnostics;
use crate::syntax::tree::{Item, Setting};

/// The kit on which what stands at a byte is played. `asked` is the kit its block or player asks for by name.
pub fn kit_at(view: &View<'_>, offset: usize, asked: Option<&str>) -> Kit {
    let file = view.source.file_at(offset);
    let mut kit = Kit::five_piece();
    let mut named: Vec<(String, Kit)> = Vec::new();
    for item in &view.document.items {
        let passed =
            View::place_of(item).is_some_and(|at| at > offset && view.source.file_at(at) == file);
        if passed {
            break;
        }
        let Item::Block(block) = item else { continue };
        if block.word.value != BlockWord::Kit {
            continue;
        }
        let made = kit_rows::changed(&kit, block, &mut Diagnostics::default());
        match &block.name {
            Some(name) => named.push((name_key(&name.value).into_owned(), made)),
            None => kit = made,
        }
    }
    let wanted = asked.map(name_key);
    let found = wanted.and_then(|name| named.into_iter().rev().find(|(own, _)| *own == *name));
    found.map_or(kit, |(_, kit)| kit)
}

/// The kit that lines ask for by name.
pub fn asked<'a>(mut lines: impl Iterator<Item = &'a Setting>) -> Option<&'a str> {
    let line = lines.find(|line| line.key.value.eq_ignore_ascii_case("kit"))?;
    Some(line.value.value.as_str())
}
