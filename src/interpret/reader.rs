//! A file read block by block.

use super::codes;
use super::counting::CountingSystems;
use super::keys::{self, Scope};
use super::reading::{Reading, ReadingPart};
use super::request::{self, Surroundings};
use super::setup::Setup;
use super::{assemble, counting, file_start, kit_rows, names};
use crate::score::{BlockWord, Header, Item, Kit};
use crate::source::Diagnostics;
use crate::syntax::tree::{self, Document};
use std::sync::Arc;

/// Reads a tree. Every fault found goes to `diagnostics`; what could be understood is returned all
/// the same.
///
/// A `kit` block holds for the blocks after it; a `syllables` table for the whole file.
pub fn read(document: &Document, diagnostics: &mut Diagnostics) -> Reading {
    let systems = Arc::new(systems(document, diagnostics));
    let mut header = Header::default();
    let mut setup = Setup::default();
    let lines = keys::read(&document.header, Scope::Header, &systems, diagnostics);
    keys::apply(&lines, &mut header, &mut setup);
    names::check(document, &setup, diagnostics);
    let mut reader = FileReader {
        around: Surroundings {
            setup: Arc::new(setup.under_header()),
            systems,
            kit: Arc::new(Kit::five_piece()),
        },
        outer: Vec::new(),
        document_keys: document.header.clone(),
    };
    let parts = document.items.iter().filter_map(|item| reader.item(item, diagnostics)).collect();
    let blocks = document.items.iter().filter_map(|item| match item {
        tree::Item::Block(block) => block.name.as_ref(),
        _ => None,
    });
    Reading { header, parts, names: blocks.map(|name| name.value.to_lowercase()).collect() }
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
    fn item(&mut self, item: &tree::Item, diagnostics: &mut Diagnostics) -> Option<ReadingPart> {
        Some(ReadingPart::Prose(match item {
            tree::Item::Heading(h) => Item::Heading { level: h.level, text: h.text.clone() },
            tree::Item::Paragraph(p) => Item::Paragraph(p.text.clone()),
            tree::Item::List(list) => Item::List {
                numbered: list.numbered,
                entries: list.entries.iter().map(|e| e.text.clone()).collect(),
            },
            tree::Item::FileStart(start) => {
                self.outer.push(self.around.setup.clone());
                file_start::take(start, &mut self.around, &self.document_keys, diagnostics)?
            }
            tree::Item::FileEnd => {
                if let Some(setup) = self.outer.pop() {
                    self.around.setup = setup;
                }
                return None;
            }
            // It was reported where it could not be joined.
            tree::Item::Include(_) => return None,
            tree::Item::Block(block) => return self.block(block, diagnostics),
        }))
    }

    fn block(&mut self, block: &tree::Block, diagnostics: &mut Diagnostics) -> Option<ReadingPart> {
        let mut found = Diagnostics::default();
        let part = self.block_in_place(block, &mut found);
        diagnostics.absorb(found, block.at);
        part
    }

    /// Reads a block; what is found has its place in the block.
    fn block_in_place(
        &mut self,
        block: &tree::Block,
        found: &mut Diagnostics,
    ) -> Option<ReadingPart> {
        match block.word.value {
            BlockWord::Syllables => None,
            BlockWord::Kit => {
                let kit = kit_rows::changed(&self.around.kit, block, found);
                self.around.kit = Arc::new(kit);
                None
            }
            BlockWord::Groove | BlockWord::Fill | BlockWord::Exercise | BlockWord::Rudiment => {
                let written = assemble::block(block, &self.around, found);
                Some(ReadingPart::Written(Box::new(written)))
            }
            BlockWord::Variation | BlockWord::Context | BlockWord::Series => {
                let request = request::read(block, &self.around, found)?;
                Some(ReadingPart::Request(Box::new(request)))
            }
        }
    }
}
