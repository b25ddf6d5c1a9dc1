//! The tree of a file with the lines of an edition put in.

use super::block::Edition;
use crate::interpret::keys;
use crate::score::{BlockWord, Placed, Span};
use crate::syntax::tree::{self, Document, FileStart, Item, Setting, Word};
use crate::syntax::values::stick::is_shown;

/// A file as it is with the lines of an edition whose block starts at a byte.
pub(in crate::interpret) fn overlaid(
    document: &Document,
    edition: &Edition,
    at: usize,
) -> Document {
    let over: Vec<Setting> =
        edition.header.iter().map(|line| line.moved(|byte| at + byte)).collect();
    let mut header = document.header.to_vec();
    over.iter().for_each(|line| put(&mut header, line));
    let item = |item: &Item| match item {
        Item::FileStart(start) => Item::FileStart(file_start(start, &over)),
        Item::Block(block) if !edition.blocks.is_empty() => {
            Item::Block(Placed::new(with_keys(block, &edition.blocks), block.at))
        }
        Item::Block(_) | Item::Heading(_) | Item::Prose(_) | Item::Include(_) | Item::FileEnd => {
            item.clone()
        }
    };
    Document { header: header.into(), items: document.items.iter().map(item).collect() }
}

/// Puts a line in the place of those of its key, or after all others.
fn put(lines: &mut Vec<Setting>, line: &Setting) {
    lines.retain(|other| !keys::are_same(other, line));
    lines.push(line.clone());
}

/// The header of an included file. What concerns the document is the first file's business, but for the
/// title, which is a heading there; where it says the same as the first file it still does.
fn file_start(start: &FileStart, over: &[Setting]) -> FileStart {
    let mut header = start.header.to_vec();
    for line in over.iter().filter(|line| !keys::is(line, "title")) {
        let says = header.iter().any(|own| keys::are_same(own, line));
        if says || !keys::is_document_key(line) {
            put(&mut header, line);
        }
    }
    FileStart { header: header.into(), span: start.span }
}

/// A block with lines that hold over its own and those of its players, in all sets. As places they have
/// its head.
fn with_keys(block: &tree::Block, over: &[Setting]) -> tree::Block {
    let is_music = block.word.value.has_music();
    let mut block = block.clone();
    let changes = block.word.value == BlockWord::Variation;
    let head = block.span;
    for line in over.iter().filter(|_| is_music) {
        let replaced = |own: &Setting| keys::are_same(own, line) && !(changes && is_change(own));
        let of_players = block.players.iter_mut().flat_map(|player| &mut player.sets);
        let sets = block.sets.iter_mut().chain(of_players);
        sets.for_each(|set| set.settings.retain(|own| !replaced(own)));
        if let Some(first) = block.sets.first_mut() {
            first.settings.push(placed(line, head));
        }
    }
    block
}

/// Whether a line of a variation changes its music: what it says of letters does, unless it says whether
/// they are shown.
fn is_change(line: &Setting) -> bool {
    let shown = keys::is(line, "sticking") && is_shown(&line.value.value);
    (keys::is(line, "stick") || keys::is(line, "sticking")) && !shown
}

fn placed(line: &Setting, span: Span) -> Setting {
    let word = |word: &Word| Word::new(word.value.clone(), span);
    Setting { key: word(&line.key), value: word(&line.value) }
}
