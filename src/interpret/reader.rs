//! A file read block by block.

use super::codes;
use super::counting::CountingSystems;
use super::keys::{self, Scope};
use super::read_block::ReadBlock;
use super::reading::{Reading, ReadingPart};
use super::reading_memo::ReadingMemo;
use super::request::Surroundings;
use super::setup::Setup;
use super::typography::Typographer;
use super::{counting, file_start, kit_rows, names};
use crate::parallel::{Each, Stop, map_until};
use crate::score::{BlockWord, Header, Item, Kit, Placed, name_key};
use crate::source::Diagnostics;
use crate::syntax::tree::{self, Document};
use std::sync::Arc;

/// Reads a tree. Every fault found goes to `diagnostics`; what could be understood is returned all
/// the same.
///
/// A `kit` block holds for the blocks after it; a `syllables` table for the whole file.
pub fn read(document: &Document, diagnostics: &mut Diagnostics) -> Reading {
    let read = read_again(document, &mut ReadingMemo::default(), &|| false, diagnostics);
    read.unwrap_or_default()
}

/// The same, where blocks may have been read before; nothing where the work was stopped.
pub fn read_again(
    document: &Document,
    memo: &mut ReadingMemo,
    stop: Stop<'_>,
    diagnostics: &mut Diagnostics,
) -> Option<Reading> {
    let systems = memo.systems.share(systems(document, diagnostics));
    let mut header = Header::default();
    let mut setup = Setup::default();
    let lines = keys::read(&document.header, Scope::Header, &systems, diagnostics);
    keys::apply(&lines, &mut header, &mut setup);
    setup.typographer = Typographer::of_header(&mut header);
    names::check_again(document, &setup, &mut memo.names, diagnostics);
    let setup = memo.setups.share(setup.under_header());
    let kit = memo.kits.share(Kit::five_piece());
    let mut reader = FileReader {
        around: Surroundings { setup, systems, kit, kits: Arc::default() },
        outer: Vec::new(),
        document_keys: document.header.clone(),
    };
    let mut parts = Vec::with_capacity(document.items.len());
    let mut unread = Vec::new();
    for item in &document.items {
        match reader.step(item, memo, diagnostics) {
            None => {}
            Some(Step::Prose(item)) => parts.push(Some(ReadingPart::Prose(item))),
            Some(Step::Block(block)) => {
                let known = memo.known(block, &reader.around, diagnostics);
                if known.is_none() {
                    unread.push((parts.len(), block, reader.around.clone()));
                }
                parts.push(known.flatten());
            }
        }
    }
    let read = map_until(stop, Each::Small, unread, |(index, block, around)| {
        let read = ReadBlock::read(block, &around);
        (index, block, around, read)
    })?;
    for (index, block, around, read) in read {
        read.report(block.at, diagnostics);
        if let Some(part) = parts.get_mut(index) {
            *part = read.placed(block.at);
        }
        memo.blocks.put(&block.value, (around, read));
    }
    let blocks = document.items.iter().filter_map(|item| match item {
        tree::Item::Block(block) => block.name.as_ref(),
        tree::Item::Heading(_)
        | tree::Item::Prose(_)
        | tree::Item::Include(_)
        | tree::Item::FileStart(_)
        | tree::Item::FileEnd => None,
    });
    Some(Reading {
        header,
        parts: parts.into_iter().flatten().collect(),
        names: blocks.map(|name| name_key(&name.value).into_owned()).collect(),
    })
}

/// The built-in counting systems and the tables of the file.
fn systems(document: &Document, diagnostics: &mut Diagnostics) -> CountingSystems {
    let mut systems = CountingSystems::default();
    for item in &document.items {
        let tree::Item::Block(block) = item else { continue };
        if block.word.value != BlockWord::Syllables {
            continue;
        }
        let mut found = Diagnostics::default();
        let system = counting::read_table(block, &mut found);
        diagnostics.absorb(found, block.at);
        let Some(system) = system else { continue };
        let name = system.name.clone();
        let built_in = CountingSystems::default().get(&name).is_some();
        if !systems.add(system) && built_in {
            diagnostics
                .error(block.span.moved(block.at), format!("the count `{name}` is built in"))
                .code(codes::TABLE_BUILT_IN)
                .mend("give the table another name");
        }
    }
    systems
}

/// What is known of the file so far.
struct FileReader {
    around: Surroundings,
    /// What the files say that include the one being read.
    outer: Vec<Arc<Setup>>,
    /// The header of the first file.
    document_keys: Vec<tree::Setting>,
}

impl FileReader {
    /// What is to be read of an item; nothing where it only holds for what follows.
    fn step<'d>(
        &mut self,
        item: &'d tree::Item,
        memo: &mut ReadingMemo,
        diagnostics: &mut Diagnostics,
    ) -> Option<Step<'d>> {
        Some(Step::Prose(match item {
            tree::Item::Heading(h) => {
                let text = memo.typographic_heading(&h.text, self.around.setup.typographer);
                Item::Heading { level: h.level, text, number: None }
            }
            tree::Item::Prose(prose) => {
                let value = memo.typographic_prose(&prose.value, self.around.setup.typographer);
                Item::Prose(Placed { value, at: prose.at })
            }
            tree::Item::FileStart(start) => {
                self.outer.push(self.around.setup.clone());
                file_start::take(start, (&mut self.around, memo), &self.document_keys, diagnostics)?
            }
            tree::Item::FileEnd => {
                if let Some(setup) = self.outer.pop() {
                    self.around.setup = setup;
                }
                return None;
            }
            // It was reported where it could not be joined.
            tree::Item::Include(_) => return None,
            tree::Item::Block(block) => {
                if block.word.value == BlockWord::Kit {
                    let mut found = Diagnostics::default();
                    let kit = kit_rows::changed(&self.around.kit, block, &mut found);
                    diagnostics.absorb(found, block.at);
                    let kit = memo.kits.share(kit);
                    match &block.name {
                        Some(name) => {
                            let mut kits = Vec::clone(&self.around.kits);
                            kits.push((name_key(&name.value).into_owned(), kit));
                            self.around.kits = memo.named_kits.share(kits);
                        }
                        None => self.around.kit = kit,
                    }
                    return None;
                }
                return Some(Step::Block(block));
            }
        }))
    }
}

/// Something to be read. Blocks know nothing of each other and are read side by side.
enum Step<'d> {
    Prose(Item),
    Block(&'d Placed<tree::Block>),
}
