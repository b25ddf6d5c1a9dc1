//! Blocks that prose refers to must be there, and have something to be printed for them.

use super::{Block, Item};
use crate::source::{Diagnostics, nearest};
use crate::syntax::tree::{Inline, Reference};
use std::collections::BTreeMap;

/// Unknown names that a near one is looked for; more are not printed anyway.
const GUESSED: usize = 100;

/// Reports references to blocks there are none of, or that nothing can be printed for.
pub(super) fn check(items: &[Item], diagnostics: &mut Diagnostics) {
    let mut named: BTreeMap<String, &Block> = BTreeMap::new();
    for item in items {
        if let Item::Block(block) = item
            && let Some(name) = &block.name
        {
            named.entry(name.to_lowercase()).or_insert(block);
        }
    }
    let mut unknown = 0;
    for reference in items.iter().flat_map(in_item) {
        let name = &reference.name;
        match named.get(&name.to_lowercase()) {
            Some(block) if block.label().is_some() => {}
            Some(_) => diagnostics
                .error(
                    reference.span,
                    format!("`{name}` has neither a number nor a title that could be printed here"),
                )
                .mend("give the block a title"),
            None => {
                unknown += 1;
                let names = named.keys().map(String::as_str).filter(|_| unknown <= GUESSED);
                let mend = match nearest(name, names) {
                    Some(near) => format!("did you mean `@{near}`?"),
                    None => "give the block you mean this name, or write `@@` to print the sign"
                        .to_owned(),
                };
                diagnostics
                    .error(reference.span, format!("no block is named `{name}`"))
                    .elsewhere()
                    .mend(mend);
            }
        }
    }
}

/// The references of a piece of the body.
pub(super) fn in_item(item: &Item) -> Vec<&Reference> {
    match item {
        Item::Paragraph(text) => references(text).collect(),
        Item::List { entries, .. } => entries.iter().flat_map(|e| references(e)).collect(),
        _ => Vec::new(),
    }
}

/// The references of a text. Emphasis nests two deep at most.
fn references(text: &[Inline]) -> Box<dyn Iterator<Item = &Reference> + '_> {
    Box::new(text.iter().flat_map(|inline| -> Box<dyn Iterator<Item = &Reference>> {
        match inline {
            Inline::Text(_) => Box::new(std::iter::empty()),
            Inline::Reference(reference) => Box::new(std::iter::once(reference)),
            Inline::Emphasis(inner) | Inline::Strong(inner) => references(inner),
        }
    }))
}
