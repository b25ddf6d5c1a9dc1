//! What a file means: kit, exact time, bars, voices, counts and stickings. Nothing here knows a
//! millimetre, a notehead's width or a page.

mod assemble;
mod bars;
pub mod block;
mod break_up;
mod compare;
mod counted;
pub mod counting;
mod deal;
mod divisions;
mod extras;
mod finish;
mod flow;
mod grid;
mod keys;
pub mod kit;
mod kit_rows;
mod marks;
pub mod meter;
mod misfit;
mod rows;
mod ruler;
mod say;
pub mod settings;
mod shapes;
mod sticking;
pub mod time;
mod values;
mod voices;
mod words;

pub use block::{Bar, Block, Hit, Strike, Voice};
pub use kit::{Instrument, Kit};
pub use meter::Meter;
pub use settings::Header;
pub use time::Time;

use crate::source::{Diagnostics, Source};
use crate::syntax::tree::{self, BlockWord, Document, Inline};
use assemble::Context;
use counting::Systems;
use keys::{Place, Setup};
use std::collections::BTreeSet;
use std::sync::Arc;

/// A whole file, understood.
#[derive(Clone, Debug, Default)]
pub struct Score {
    /// What the header says.
    pub header: Header,
    /// Headings, prose and music in order.
    pub items: Vec<Item>,
}

/// A piece of the body.
#[derive(Clone, Debug)]
pub enum Item {
    /// A heading.
    Heading {
        /// 1 or 2.
        level: u8,
        /// Its words.
        text: Vec<Inline>,
    },
    /// A paragraph.
    Paragraph(Vec<Inline>),
    /// A list.
    List {
        /// Numbered or dashed.
        numbered: bool,
        /// Its entries.
        entries: Vec<Vec<Inline>>,
    },
    /// Music.
    Block(Block),
}

/// Understands a tree. Every fault found goes to `diagnostics`; what could be understood is
/// returned all the same.
///
/// A `kit` block holds for the blocks after it; a `syllables` table for the whole file.
pub fn build(_source: &Source, document: &Document, diagnostics: &mut Diagnostics) -> Score {
    let systems = systems(document, diagnostics);
    let mut header = Header::default();
    let mut setup = Setup::default();
    setup.take(&document.header, Place::Header, &mut header, &systems, diagnostics);
    let mut reader = Reader { setup, systems, kit: Arc::new(Kit::five_piece()), numbered: 0 };
    reader.check_names(document, diagnostics);
    let items = document.items.iter().filter_map(|i| reader.item(i, diagnostics)).collect();
    Score { header, items }
}

/// The built-in counting systems and the tables of the file.
fn systems(document: &Document, diagnostics: &mut Diagnostics) -> Systems {
    let mut systems = Systems::default();
    for item in &document.items {
        let tree::Item::Block(block) = item else { continue };
        if block.word.value != BlockWord::Syllables {
            continue;
        }
        let Some(system) = counting::read_table(block, diagnostics) else { continue };
        let name = system.name.clone();
        let built_in = Systems::default().get(&name).is_some();
        if !systems.add(system) && built_in {
            diagnostics
                .error(block.span, format!("the count `{name}` is built in"))
                .mend("give the table another name");
        }
    }
    systems
}

/// What is known of the file so far.
struct Reader {
    setup: Setup,
    systems: Systems,
    kit: Arc<Kit>,
    /// Numbered blocks so far.
    numbered: u32,
}

impl Reader {
    fn item(&mut self, item: &tree::Item, diagnostics: &mut Diagnostics) -> Option<Item> {
        Some(match item {
            tree::Item::Heading(h) => Item::Heading { level: h.level, text: h.text.clone() },
            tree::Item::Paragraph(p) => Item::Paragraph(p.text.clone()),
            tree::Item::List(list) => Item::List {
                numbered: list.numbered,
                entries: list.entries.iter().map(|e| e.text.clone()).collect(),
            },
            tree::Item::Block(block) => return self.block(block, diagnostics),
        })
    }

    fn block(&mut self, block: &tree::Block, diagnostics: &mut Diagnostics) -> Option<Item> {
        let number = match block.word.value {
            BlockWord::Syllables => return None,
            BlockWord::Kit => {
                self.kit = Arc::new(kit_rows::changed(&self.kit, block, diagnostics));
                return None;
            }
            BlockWord::Groove => None,
            BlockWord::Fill | BlockWord::Exercise | BlockWord::Rudiment => {
                self.numbered += 1;
                Some(self.numbered)
            }
        };
        let context = Context { setup: &self.setup, systems: &self.systems, kit: &self.kit };
        Some(Item::Block(assemble::block(block, number, &context, diagnostics)))
    }

    /// Every name belongs to one block, and what is defined is used.
    fn check_names(&self, document: &Document, diagnostics: &mut Diagnostics) {
        let mut names: BTreeSet<String> = BTreeSet::new();
        let mut asked: BTreeSet<String> = self.setup.counting.iter().cloned().collect();
        let mut kit_without_music = None;
        for item in &document.items {
            let tree::Item::Block(block) = item else { continue };
            if let Some(name) = &block.name
                && !names.insert(name.value.to_lowercase())
            {
                diagnostics
                    .error(name.span, format!("another block is named `{}` already", name.value))
                    .mend("give every block a name of its own");
            }
            match block.word.value {
                BlockWord::Kit => kit_without_music = Some(block.span),
                BlockWord::Syllables => {}
                _ => kit_without_music = None,
            }
            let settings = block.sets.iter().flat_map(|s| &s.settings);
            let counting = settings.filter(|s| s.key.value.eq_ignore_ascii_case("counting"));
            asked.extend(counting.map(|s| s.value.value.trim().to_lowercase()));
        }
        if let Some(span) = kit_without_music {
            diagnostics
                .warning(span, "no block after this kit is played on it")
                .mend("a kit holds for the blocks after it; move it above them");
        }
        for item in &document.items {
            let tree::Item::Block(block) = item else { continue };
            if block.word.value == BlockWord::Syllables
                && let Some(name) = counting::table_name(block)
                && !asked.contains(&name)
            {
                diagnostics
                    .warning(block.span, format!("no block is counted with the table `{name}`"))
                    .mend(format!("ask for it with `counting: {name}`"));
            }
        }
    }
}
