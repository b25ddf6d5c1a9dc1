//! Which prose speaks of which music, so that a page does not end between them.

use super::piece::Bond;
use crate::rope::Rope;
use crate::score::{Item, ProseBlock};

/// How much the item of an index belongs to the one before it.
///
/// Words right under music speak of it, unless they end with a colon. Words over music lead to it:
/// surely where they end with a colon or where no music stands over them, else perhaps.
pub fn between(items: &Rope<Item>, index: usize) -> Bond {
    let before = |steps: usize| index.checked_sub(steps).and_then(|at| items.get_made(at));
    let (Some(above), Some(item)) = (before(1), items.get_made(index)) else { return Bond::Free };
    let (prose_above, prose) = (prose_of(above), prose_of(item));
    if let (true, Some(prose)) = (is_music(above), prose) {
        let leads_on = prose.leads_on() && items.get_made(index + 1).is_some_and(is_music);
        return if leads_on { Bond::Free } else { Bond::Close };
    }
    if let (Some(prose), true) = (prose_above, is_music(item)) {
        let under_music = before(2).is_some_and(is_music);
        return if under_music && !prose.leads_on() { Bond::Leaning } else { Bond::Close };
    }
    Bond::Free
}

fn is_music(item: &Item) -> bool {
    matches!(item, Item::Block(_))
}

/// Prose that may speak of music: neither footnotes nor a break between thoughts.
fn prose_of(item: &Item) -> Option<&ProseBlock> {
    match item {
        Item::Prose(prose) => match &**prose {
            ProseBlock::Notes(_) | ProseBlock::Break => None,
            ProseBlock::Paragraph(_)
            | ProseBlock::List(_)
            | ProseBlock::Quote(_)
            | ProseBlock::Code(_)
            | ProseBlock::Table(_)
            | ProseBlock::Figure(_) => Some(prose),
        },
        Item::Heading { .. } | Item::Block(_) => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::{Diagnostics, Source};

    fn bonds(text: &str) -> Vec<Bond> {
        let source = Source::new("a", text);
        let mut found = Diagnostics::default();
        let items = crate::understand(&source, &mut found).items;
        (0..items.len()).map(|index| between(&items, index)).collect()
    }

    #[test]
    fn words_belong_to_the_music_they_stand_at() {
        let music = "fill\n  play  s s s s\n\n";
        let text = format!("# A\n\nFirst this.\n\n{music}Mind the left hand.\n\n{music}");
        use Bond::{Close, Free, Leaning};
        assert_eq!(bonds(&text), [Free, Free, Close, Close, Leaning]);
        let text = format!("{music}Now this:\n\n{music}One.\n\nTwo.\n\n{music}{music}");
        assert_eq!(bonds(&text), [Free, Free, Close, Close, Free, Close, Free]);
    }
}
