//! Which prose speaks of which music, so that a page does not end between them.

use super::piece::Bond;
use super::prose;
use crate::score::Item;

/// How much the item of an index belongs to the one before it.
///
/// Words right under music speak of it, unless they end with a colon. Words over music lead to it:
/// surely where they end with a colon or where no music stands over them, else perhaps.
pub fn between(items: &[Item], index: usize) -> Bond {
    let before = |steps: usize| index.checked_sub(steps).and_then(|at| items.get(at));
    match (before(1), items.get(index)) {
        (Some(Item::Block(_)), Some(item)) if is_prose(item) => {
            let leads_on = announces(item) && matches!(items.get(index + 1), Some(Item::Block(_)));
            if leads_on { Bond::Free } else { Bond::Close }
        }
        (Some(item), Some(Item::Block(_))) if is_prose(item) => {
            let under_music = matches!(before(2), Some(Item::Block(_)));
            if under_music && !announces(item) { Bond::Leaning } else { Bond::Close }
        }
        _ => Bond::Free,
    }
}

fn is_prose(item: &Item) -> bool {
    matches!(item, Item::Paragraph(_) | Item::List { .. })
}

fn announces(item: &Item) -> bool {
    let text = match item {
        Item::Paragraph(text) => Some(text),
        Item::List { entries, .. } => entries.last(),
        _ => None,
    };
    text.is_some_and(|text| prose::words(text).trim_end().ends_with(':'))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::{Diagnostics, Source};
    use crate::{interpret, syntax};

    fn bonds(text: &str) -> Vec<Bond> {
        let source = Source::new("a", text);
        let mut found = Diagnostics::default();
        let document = syntax::parse(&source, &mut found);
        let items = interpret::build(&source, &document, &mut found).items;
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
