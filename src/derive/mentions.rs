//! Blocks that prose refers to must be there, and have something to be printed for them.

use super::codes;
use crate::rope::Rope;
use crate::score::{Item, Mentions, PlacedBlock, Reference, name_key};
use crate::source::{Diagnostics, nearest};
use std::borrow::Cow;
use std::collections::HashMap;

/// Unknown names that a near one is looked for; more are not printed anyway.
const GUESSED: usize = 100;

/// The items of a score with whose references nothing was wrong. By default it keeps nothing.
#[derive(Debug, Default)]
pub(super) struct MentionsMemo {
    keeps: bool,
    clean: Option<Mentions>,
}

impl MentionsMemo {
    /// One that keeps what is found.
    pub(super) fn keeping() -> Self {
        Self { keeps: true, ..Self::default() }
    }
}

/// Reports references to blocks there are none of, or that nothing can be printed for. Nothing is looked at
/// again that was found in order before.
pub(super) fn check_again(
    items: &Rope<Item>,
    memo: &mut MentionsMemo,
    diagnostics: &mut Diagnostics,
) {
    if memo.clean.as_ref().is_some_and(|clean| clean.are_those_of(items)) {
        return;
    }
    let mut found = Diagnostics::default();
    check(items, &mut found);
    memo.clean = (memo.keeps && found.is_empty()).then(|| Mentions::of(items));
    diagnostics.absorb(found, 0);
}

fn check(items: &Rope<Item>, diagnostics: &mut Diagnostics) {
    let references: Vec<(&Reference, usize)> = items
        .iter()
        .flat_map(|item| item.references().into_iter().map(|reference| (reference, item.at())))
        .collect();
    if references.is_empty() {
        return;
    }
    let mut named: HashMap<Cow<'_, str>, &PlacedBlock> = HashMap::new();
    for item in items {
        match item {
            Item::Block(block) => {
                if let Some(name) = &block.name {
                    named.entry(name_key(name)).or_insert(block);
                }
            }
            Item::Heading { .. } | Item::Prose(_) => {}
        }
    }
    let mut unknown = 0;
    let mut names = None;
    for (reference, at) in references {
        let span = reference.span.moved(at);
        let name = &reference.name;
        match named.get(&*name_key(name)) {
            Some(block) if block.label().is_some() => {}
            Some(_) => diagnostics
                .error(
                    span,
                    format!("`{name}` has neither a number nor a title that could be printed here"),
                )
                .code(codes::REFERENCE_UNPRINTABLE)
                .mend("give the block a title"),
            None => {
                unknown += 1;
                let names = names.get_or_insert_with(|| sorted(&named)).iter().copied();
                let names = names.filter(|_| unknown <= GUESSED);
                let fault = diagnostics
                    .error(span, format!("no block is named `{name}`"))
                    .code(codes::REFERENCE_UNKNOWN)
                    .elsewhere();
                match nearest(name, names) {
                    Some(near) => {
                        let near = format!("@{near}");
                        fault.replace(span, &near, format!("did you mean `{near}`?"));
                    }
                    None => fault
                        .mend("give the block you mean this name, or write `@@` to print the sign"),
                }
            }
        }
    }
}

fn sorted<'a>(named: &'a HashMap<Cow<'_, str>, &PlacedBlock>) -> Vec<&'a str> {
    let mut names: Vec<&str> = named.keys().map(AsRef::as_ref).collect();
    names.sort_unstable();
    names
}
