//! Names: every one belongs to one block, and what is defined is used.

use super::codes;
use super::setup::Setup;
use super::{counting, keys};
use crate::score::{BlockWord, name_key};
use crate::source::Diagnostics;
use crate::syntax::tree::{self, Document};
use std::borrow::Cow;
use std::collections::{BTreeSet, HashSet};

/// Every name belongs to one block, and what is defined is used.
pub(super) fn check(document: &Document, setup: &Setup, diagnostics: &mut Diagnostics) {
    let mut names: HashSet<Cow<'_, str>> = HashSet::new();
    let mut asked: BTreeSet<String> = setup.counting.iter().cloned().collect();
    let mut kit_without_music = None;
    for item in &document.items {
        if let tree::Item::FileStart(start) = item {
            let counting = start.header.iter().filter(|s| keys::is(s, "counting"));
            asked.extend(counting.map(|s| s.value.value.trim().to_lowercase()));
        }
        let tree::Item::Block(block) = item else { continue };
        if let Some(name) = &block.name
            && !names.insert(name_key(&name.value))
        {
            diagnostics
                .error(
                    name.span.moved(block.at),
                    format!("another block is named `{}` already", name.value),
                )
                .code(codes::BLOCK_NAME_TAKEN)
                .mend("give every block a name of its own");
        }
        match block.word.value {
            BlockWord::Kit => kit_without_music = Some(block.span.moved(block.at)),
            BlockWord::Syllables => {}
            BlockWord::Groove
            | BlockWord::Fill
            | BlockWord::Exercise
            | BlockWord::Rudiment
            | BlockWord::Variation
            | BlockWord::Context
            | BlockWord::Series => kit_without_music = None,
        }
        let settings = block.sets.iter().flat_map(|s| &s.settings);
        let counting = settings.filter(|s| s.key.value.eq_ignore_ascii_case("counting"));
        asked.extend(counting.map(|s| s.value.value.trim().to_lowercase()));
    }
    if let Some(span) = kit_without_music {
        diagnostics
            .warning(span, "no block after this kit is played on it")
            .code(codes::KIT_UNUSED)
            .mend("a kit holds for the blocks after it; move it above them");
    }
    for item in &document.items {
        let tree::Item::Block(block) = item else { continue };
        if block.word.value == BlockWord::Syllables
            && let Some(name) = counting::table_name(block)
            && !asked.contains(&name)
        {
            diagnostics
                .warning(
                    block.span.moved(block.at),
                    format!("no block is counted with the table `{name}`"),
                )
                .code(codes::TABLE_UNUSED)
                .mend(format!("ask for it with `counting: {name}`"));
        }
    }
}
