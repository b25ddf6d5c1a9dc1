//! The names that a text knows.

use super::super::hover;
use super::super::lines::Written;
use super::super::names::{Named, occurrences};
use super::super::view::View;
use super::item::{Completion, CompletionKind, completion};
use crate::score::{BlockWord, name_key};

/// The names of blocks of some words.
pub(super) fn names(
    view: &View<'_>,
    written: &Written<'_>,
    wanted: &dyn Fn(BlockWord) -> bool,
) -> Vec<Completion> {
    let named = view.blocks().filter(|block| wanted(block.word.value));
    let mut known: Vec<String> = Vec::new();
    let mut found = Vec::new();
    for block in named {
        let Some(name) = &block.name else { continue };
        let key = name_key(&name.value).into_owned();
        if known.contains(&key) {
            continue;
        }
        known.push(key);
        let about = hover::told_block(view, block);
        found.push(completion(written, CompletionKind::Name, &name.value, about));
    }
    found
}

/// The names of players.
pub(super) fn players(view: &View<'_>, written: &Written<'_>) -> Vec<Completion> {
    let mut names: Vec<String> = Vec::new();
    for one in occurrences(view) {
        if one.named == Named::Player && !names.contains(&one.name) {
            names.push(one.name);
        }
    }
    let each = |name: String| {
        let text = format!("player \"{name}\"");
        let about = format!("what {name} plays");
        Completion { text: text.clone(), ..completion(written, CompletionKind::Name, &text, about) }
    };
    names.into_iter().map(each).collect()
}
