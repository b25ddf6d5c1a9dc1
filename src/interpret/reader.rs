//! A file read block by block.

use super::codes;
use super::counting::CountingSystems;
use super::keys::{self, Scope};
use super::reading::{Reading, ReadingPart};
use super::request::{self, Surroundings};
use super::setup::Setup;
use super::{assemble, counting, file_start, kit_rows, names};
use crate::parallel::map_in_order;
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
    let mut before = Diagnostics::default();
    let mut steps = Vec::new();
    for item in &document.items {
        let step = reader.step(item, &mut before);
        steps.extend(step.map(|step| (std::mem::take(&mut before), step)));
    }
    let mut parts = Vec::with_capacity(steps.len());
    for (before, (part, found, at)) in map_in_order(steps, |(before, step)| (before, step.read())) {
        diagnostics.absorb(before, 0);
        diagnostics.absorb(found, at);
        parts.extend(part);
    }
    diagnostics.absorb(before, 0);
    let blocks = document.items.iter().filter_map(|item| match item {
        tree::Item::Block(block) => block.name.as_ref(),
        tree::Item::Heading(_)
        | tree::Item::Paragraph(_)
        | tree::Item::List(_)
        | tree::Item::Include(_)
        | tree::Item::FileStart(_)
        | tree::Item::FileEnd => None,
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
    /// What is to be read of an item, with what holds there; nothing where it only holds for what
    /// follows.
    fn step<'d>(
        &mut self,
        item: &'d tree::Item,
        diagnostics: &mut Diagnostics,
    ) -> Option<Step<'d>> {
        Some(Step::Prose(match item {
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
            tree::Item::Block(block) => {
                if block.word.value == BlockWord::Kit {
                    let mut found = Diagnostics::default();
                    let kit = kit_rows::changed(&self.around.kit, block, &mut found);
                    diagnostics.absorb(found, block.at);
                    self.around.kit = Arc::new(kit);
                    return None;
                }
                return Some(Step::Block(block, self.around.clone()));
            }
        }))
    }
}

/// Something to be read. Blocks know nothing of each other and are read side by side.
enum Step<'d> {
    Prose(Item),
    Block(&'d tree::Block, Surroundings),
}

impl Step<'_> {
    /// What it means; what is found in it, counted from the byte that comes third.
    fn read(self) -> (Option<ReadingPart>, Diagnostics, usize) {
        let mut found = Diagnostics::default();
        match self {
            Self::Prose(item) => (Some(ReadingPart::Prose(item)), found, 0),
            Self::Block(block, around) => (read_block(block, &around, &mut found), found, block.at),
        }
    }
}

fn read_block(
    block: &tree::Block,
    around: &Surroundings,
    found: &mut Diagnostics,
) -> Option<ReadingPart> {
    match block.word.value {
        BlockWord::Syllables | BlockWord::Kit => None,
        BlockWord::Groove | BlockWord::Fill | BlockWord::Exercise | BlockWord::Rudiment => {
            let written = assemble::block(block, around, found);
            Some(ReadingPart::Written(Box::new(written)))
        }
        BlockWord::Variation | BlockWord::Context | BlockWord::Series => {
            let request = request::read(block, around, found)?;
            Some(ReadingPart::Request(Box::new(request)))
        }
    }
}
