//! Names: every one belongs to one block, and what is defined is used.

use super::codes;
use super::setup::Setup;
use super::{counting, keys};
use crate::rope::Rope;
use crate::score::{BlockWord, name_key};
use crate::source::{Diagnostics, Span};
use crate::syntax::tree::{self, Document};
use std::borrow::Cow;
use std::collections::{BTreeSet, HashMap};
use std::sync::Arc;

/// What was read of a file when nothing was found wrong with its names. By default it keeps nothing.
#[derive(Debug, Default)]
pub(super) struct NamesMemo {
    keeps: bool,
    clean: Option<Clean>,
    /// The names of its blocks.
    blocks: Arc<[String]>,
}

/// A file with whose names nothing is wrong.
#[derive(Debug)]
struct Clean {
    /// The counting systems that its header asks for.
    asked: Vec<String>,
    items: Rope<tree::Item>,
}

/// All of an item that counts here.
#[derive(Debug)]
enum Named<'a> {
    Block(&'a Arc<tree::Block>),
    /// The name of a heading.
    Heading(&'a str),
    /// The counting systems that the header of a file asks for.
    File(Vec<String>),
}

impl NamesMemo {
    /// One that keeps what is read.
    pub(super) fn keeping() -> Self {
        Self { keeps: true, ..Self::default() }
    }

    /// Whether a file says the same of names as one with which nothing was wrong.
    pub(super) fn is_clean(&self, document: &Document) -> bool {
        let Some(clean) = &self.clean else { return false };
        let change = document.items.changed_wherever(&clean.items, tree::Item::is);
        let mut then = clean.items.range(change.old).filter_map(named);
        let mut now = document.items.range(change.new).filter_map(named);
        let same = now.all(|now| then.next().is_some_and(|then| now.is_as(&then)));
        same && then.next().is_none() && clean.asked == asked(&document.header)
    }

    /// The names of all blocks of a file that was found clean, in lower case; it is kept in place of the one
    /// before, since the less has changed the sooner it is compared.
    pub(super) fn keep_clean(&mut self, document: &Document) -> Arc<[String]> {
        self.keep(document, true);
        self.blocks.clone()
    }

    /// Keeps what is read of a file with which nothing is wrong.
    fn keep(&mut self, document: &Document, clean: bool) {
        self.clean = (self.keeps && clean)
            .then(|| Clean { asked: asked(&document.header), items: document.items.clone() });
    }
}

impl Named<'_> {
    /// Whether it says the same of names.
    fn is_as(&self, then: &Self) -> bool {
        match (self, then) {
            (Self::Block(now), Self::Block(then)) => {
                let head = |block: &tree::Block| {
                    (block.word.value, block.name.as_ref().map(|name| name.value.clone()))
                };
                // A block that asks for a counting system or is one is looked at anew.
                let plain = |block: &tree::Block| {
                    block.word.value != BlockWord::Syllables && !counting(block).any(|_| true)
                };
                Arc::ptr_eq(now, then) || (head(now) == head(then) && plain(now) && plain(then))
            }
            (Self::File(now), Self::File(then)) => now == then,
            (Self::Heading(now), Self::Heading(then)) => now == then,
            (Self::Block(_) | Self::Heading(_) | Self::File(_), _) => false,
        }
    }
}

/// The counting systems that the header of a file asks for.
fn asked(header: &[tree::Setting]) -> Vec<String> {
    let asked = header.iter().filter(|setting| keys::is(setting, "counting"));
    asked.map(|setting| setting.value.value.clone()).collect()
}

/// What counts of an item.
fn named(item: &tree::Item) -> Option<Named<'_>> {
    match item {
        tree::Item::Block(block) => Some(Named::Block(&block.value)),
        tree::Item::FileStart(start) => Some(Named::File(asked(&start.header))),
        tree::Item::Heading(heading) => {
            heading.name.as_ref().map(|name| Named::Heading(&name.value))
        }
        tree::Item::Prose(_) | tree::Item::Include(_) | tree::Item::FileEnd => None,
    }
}

/// The counting systems a block asks for.
fn counting(block: &tree::Block) -> impl Iterator<Item = &tree::Setting> {
    block.settings().filter(|setting| setting.key.value.eq_ignore_ascii_case("counting"))
}

/// Every name belongs to one block, and what is defined is used. Nothing is looked at again that was
/// found in order before. The names of all blocks, in lower case.
pub(super) fn check_again(
    document: &Document,
    setup: &Setup,
    memo: &mut NamesMemo,
    diagnostics: &mut Diagnostics,
) -> Arc<[String]> {
    if memo.is_clean(document) {
        return memo.keep_clean(document);
    }
    let mut found = Diagnostics::default();
    check(document, setup, &mut found);
    memo.keep(document, found.is_empty());
    memo.blocks = block_names(document);
    diagnostics.absorb(found, 0);
    memo.blocks.clone()
}

/// The names of all blocks, in lower case.
fn block_names(document: &Document) -> Arc<[String]> {
    let names = document.blocks().filter_map(|block| block.name.as_ref());
    names.map(|name| name_key(&name.value).into_owned()).collect()
}

fn check(document: &Document, setup: &Setup, diagnostics: &mut Diagnostics) {
    let mut names = HashMap::new();
    let mut asked: BTreeSet<String> = setup.counting.iter().cloned().collect();
    let mut kit_without_music = None;
    for item in &document.items {
        if let tree::Item::FileStart(start) = item {
            let counting = start.header.iter().filter(|s| keys::is(s, "counting"));
            asked.extend(counting.map(|s| s.value.value.trim().to_lowercase()));
        }
        if let tree::Item::Heading(heading) = item
            && let Some(name) = &heading.name
        {
            take(&mut names, (&name.value, name.span, "heading"), diagnostics);
        }
        let tree::Item::Block(block) = item else { continue };
        if let Some(name) = &block.name {
            let span = name.span.moved(block.at);
            take(&mut names, (&name.value, span, "block"), diagnostics);
        }
        match block.word.value {
            BlockWord::Kit => kit_without_music = Some(block.span.moved(block.at)),
            BlockWord::Syllables | BlockWord::Edition => {}
            BlockWord::Groove
            | BlockWord::Fill
            | BlockWord::Exercise
            | BlockWord::Rudiment
            | BlockWord::Variation
            | BlockWord::Context
            | BlockWord::Series => kit_without_music = None,
        }
        asked.extend(counting(block).map(|s| s.value.value.trim().to_lowercase()));
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

/// Takes the name of a block or of a heading, which may be no other's.
fn take<'a>(
    names: &mut HashMap<Cow<'a, str>, (Span, &'static str)>,
    (name, span, what): (&'a str, Span, &'static str),
    diagnostics: &mut Diagnostics,
) {
    let (first, other) = *names.entry(name_key(name)).or_insert((span, what));
    if first == span {
        return;
    }
    let mend = if what == "block" && other == "block" {
        "give every block a name of its own"
    } else {
        "give every block and every heading a name of its own"
    };
    diagnostics
        .error(span, format!("another {other} is named `{name}` already"))
        .code(codes::BLOCK_NAME_TAKEN)
        .other(first)
        .mend(mend);
}
