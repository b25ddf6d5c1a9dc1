//! A file read block by block.

use super::begun_reading::{BegunReading, Step};
use super::codes;
use super::counting::CountingSystems;
use super::keys::{self, Scope};
use super::last_reading::LastReading;
use super::reading::{Reading, Selection};
use super::reading_memo::ReadingMemo;
use super::setup::Setup;
use super::surroundings::Surroundings;
use super::typography::Typographer;
use super::{counting, edition, file_start, front_matter, kit_rows, names, silent_players};
use crate::parallel::Stop;
use crate::score::printing::Background;
use crate::score::{BlockWord, Colour, Header, Item, Kit, Placed, Span, name_key};
use crate::source::Diagnostics;
use crate::syntax::tree::{self, Document};
use std::borrow::Borrow;
use std::sync::Arc;

/// Reads all of a tree. Of one that is given up each block is gone once it is read.
pub(super) fn read_all(
    tree: impl Borrow<Document>,
    memo: &mut ReadingMemo,
    stop: Stop<'_>,
) -> Option<LastReading> {
    let document = tree.borrow();
    let mut found = Diagnostics::default();
    let systems = memo.systems.share(systems(document, &mut found));
    let mut header = Header::default();
    let mut setup = Setup::default();
    let lines = keys::read(&document.header, Scope::Header, &systems, &mut found);
    keys::apply(&lines, &mut header, &mut setup);
    setup.typographer = Typographer::of_header(&mut header);
    report_unseen_ink(&header, &mut found);
    front_matter::report_unprinted(document, &mut found);
    silent_players::report_unknown(document, &mut found);
    let names = names::check_again(document, &setup, &mut memo.names, &mut found);
    let setup = memo.setups.share(setup.under_header());
    let kit = memo.kits.share(Kit::five_piece());
    let kits = memo.named_kits.share(Vec::new());
    let mut reader = FileReader {
        around: Surroundings { setup, systems, kit, kits },
        outer: Vec::new(),
        document_keys: document.header.clone(),
    };
    let mut arounds = vec![(0, reader.around.clone())];
    let mut steps = Vec::with_capacity(document.items.len());
    for (index, item) in document.items.iter().enumerate() {
        steps.push(reader.step(item, document, memo, &mut found));
        if arounds.last().is_some_and(|(_, last)| !last.is(&reader.around)) {
            arounds.push((index + 1, reader.around.clone()));
        }
    }
    let items = document.items.iter().zip(steps);
    let begun = BegunReading::of(items, (0, &arounds), memo);
    let kept = if memo.keeps() { LastReading::of(document) } else { LastReading::default() };
    drop(tree);
    let (parts, in_blocks) = begun.end(memo, stop)?;
    memo.all = true;
    let parts = parts.into();
    let reading = Reading { header, parts, names, selection: Selection::default() };
    Some(LastReading { reading, arounds, found, in_blocks, ..kept })
}

/// Reports ink that can't be seen on what is behind it.
fn report_unseen_ink(header: &Header, diagnostics: &mut Diagnostics) {
    let behind = match header.background {
        Background::Paper => Colour::WHITE,
        Background::Colour(colour) => colour,
        Background::None => return,
    };
    let ink = header.ink.as_ref().map_or(Colour::BLACK, |ink| ink.value);
    if ink != behind {
        return;
    }
    let span = header.ink.as_ref().map_or(Span::default(), |ink| ink.span);
    let other = if ink == Colour::WHITE { "black" } else { "white" };
    let (what, mend) = match header.background {
        Background::Paper => ("paper", format!("write `background: {other}` too")),
        Background::Colour(_) | Background::None => {
            ("background", format!("write `ink: {other}`, or another background"))
        }
    };
    diagnostics
        .error(span, format!("ink of the colour of its {what} can't be seen"))
        .code(codes::INK_UNSEEN)
        .mend(mend);
}

/// The built-in counting systems and the tables of the file.
pub(super) fn systems(document: &Document, diagnostics: &mut Diagnostics) -> CountingSystems {
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
pub(super) struct FileReader {
    pub(super) around: Surroundings,
    /// What the files say that include the one being read.
    pub(super) outer: Vec<Arc<Setup>>,
    /// The header of the first file.
    pub(super) document_keys: Arc<[tree::Setting]>,
}

impl FileReader {
    /// What is to be read of an item; nothing where it only holds for what follows.
    pub(super) fn step(
        &mut self,
        item: &tree::Item,
        document: &Document,
        memo: &mut ReadingMemo,
        diagnostics: &mut Diagnostics,
    ) -> Option<Step> {
        Some(Step::Prose(match item {
            tree::Item::Heading(h) => {
                let text = memo.typographic_heading(&h.text, self.around.setup.typographer);
                let name = h.name.as_ref().map(|name| name.value.as_str().into());
                Item::Heading { level: h.level, text, number: None, name, end: Some(h.end) }
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
                if block.word.value == BlockWord::Edition {
                    let mut found = Diagnostics::default();
                    edition::read(block, document, &self.around.systems, &mut found);
                    diagnostics.absorb(found, block.at);
                    return None;
                }
                return Some(Step::Block);
            }
        }))
    }
}
