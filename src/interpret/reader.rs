//! A file read block by block.

use super::codes;
use super::counting::CountingSystems;
use super::keys::{self, Scope};
use super::read_block::ReadBlock;
use super::reading::{Reading, ReadingPart, Selection};
use super::reading_memo::ReadingMemo;
use super::setup::Setup;
use super::surroundings::Surroundings;
use super::typography::Typographer;
use super::{counting, edition, file_start, front_matter, kit_rows, names, silent_players};
use crate::parallel::{Each, Stop, map_until};
use crate::score::printing::Background;
use crate::score::{BlockWord, Colour, Header, Item, Kit, Placed, Span, name_key};
use crate::source::{Diagnostics, say};
use crate::syntax::tree::{self, Document};
use std::borrow::Borrow;
use std::sync::Arc;

/// Reads a tree. Every fault found goes to `diagnostics`; what could be understood is returned all
/// the same. Of a tree that is given up each block is gone once it is read.
///
/// A `kit` block holds for the blocks after it; a `syllables` table for the whole file.
pub fn read(document: impl Borrow<Document>, diagnostics: &mut Diagnostics) -> Reading {
    let read = read_again(document, &mut ReadingMemo::default(), &|| false, diagnostics);
    read.unwrap_or_default()
}

/// Reads a tree as one of its editions prints it, which goes by a name. A name that no edition has is a
/// fault, and the file is read as it stands.
pub fn read_edition(document: &Document, name: &str, diagnostics: &mut Diagnostics) -> Reading {
    let memo = &mut ReadingMemo::default();
    read_edition_again(document, name, (memo, &|| false), diagnostics).unwrap_or_default()
}

/// The same, where blocks may have been read before; nothing where the work was stopped.
pub fn read_edition_again(
    document: &Document,
    name: &str,
    (memo, stop): (&mut ReadingMemo, Stop<'_>),
    diagnostics: &mut Diagnostics,
) -> Option<Reading> {
    let wanted = name_key(name);
    let found = document.items.iter().find_map(|item| match item {
        tree::Item::Block(block) if block.word.value == BlockWord::Edition => {
            let own = name_key(&block.name.as_ref()?.value);
            (own == wanted).then_some(block)
        }
        tree::Item::Block(_)
        | tree::Item::Heading(_)
        | tree::Item::Prose(_)
        | tree::Item::Include(_)
        | tree::Item::FileStart(_)
        | tree::Item::FileEnd => None,
    });
    let Some(block) = found else {
        let names = edition::names(document);
        let fault = diagnostics.error(Span::default(), format!("there is no edition `{name}`"));
        match names.is_empty() {
            true => fault.mend(format!("write one, as a line `edition {name}` with keys under it")),
            false => {
                fault.mend(format!("there is {}", say::listed(names.iter().map(String::as_str))))
            }
        }
        return read_again(document, memo, stop, diagnostics);
    };
    // Its faults are found where it is read among all blocks.
    let quiet = &mut Diagnostics::default();
    let edition = edition::read(block, document, &systems(document, quiet), quiet);
    let overlaid = edition::overlaid(document, &edition, block.at);
    let reading = read_again(overlaid, memo, stop, diagnostics)?;
    Some(Reading { selection: edition.selection, ..reading })
}

/// Reads a tree, where blocks may have been read before; nothing where the work was stopped.
pub fn read_again(
    tree: impl Borrow<Document>,
    memo: &mut ReadingMemo,
    stop: Stop<'_>,
    diagnostics: &mut Diagnostics,
) -> Option<Reading> {
    let document = tree.borrow();
    let systems = memo.systems.share(systems(document, diagnostics));
    let mut header = Header::default();
    let mut setup = Setup::default();
    let lines = keys::read(&document.header, Scope::Header, &systems, diagnostics);
    keys::apply(&lines, &mut header, &mut setup);
    setup.typographer = Typographer::of_header(&mut header);
    report_unseen_ink(&header, diagnostics);
    front_matter::report_unprinted(document, diagnostics);
    silent_players::report_unknown(document, diagnostics);
    let names = names::check_again(document, &setup, &mut memo.names, diagnostics);
    let setup = memo.setups.share(setup.under_header());
    let kit = memo.kits.share(Kit::five_piece());
    let kits = memo.named_kits.share(Vec::new());
    let mut reader = FileReader {
        around: Surroundings { setup, systems, kit, kits },
        outer: Vec::new(),
        document_keys: document.header.clone(),
    };
    let mut parts = Vec::with_capacity(document.items.len());
    let mut unread = Vec::new();
    for item in &document.items {
        match reader.step(item, document, memo, diagnostics) {
            None => {}
            Some(Step::Prose(item)) => parts.push(Some(ReadingPart::Prose(item))),
            Some(Step::Block(block)) => {
                let known = memo.known(block, &reader.around, diagnostics);
                if known.is_none() {
                    unread.push((parts.len(), block.clone(), reader.around.clone()));
                }
                parts.push(known.flatten());
            }
        }
    }
    drop(tree);
    let keeps = memo.blocks.keeps();
    let read = map_until(stop, Each::Small, unread, |(index, block, around)| {
        let read = ReadBlock::read(&block, &around);
        (index, block.at, read, keeps.then_some((block.value, around)))
    })?;
    for (index, at, read, kept) in read {
        read.report(at, diagnostics);
        if let Some(part) = parts.get_mut(index) {
            *part = read.placed(at);
        }
        if let Some((block, around)) = kept {
            memo.blocks.put(&block, (around, read));
        }
    }
    let parts = parts.into_iter().flatten().collect();
    Some(Reading { header, parts, names, selection: Selection::default() })
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
        document: &Document,
        memo: &mut ReadingMemo,
        diagnostics: &mut Diagnostics,
    ) -> Option<Step<'d>> {
        Some(Step::Prose(match item {
            tree::Item::Heading(h) => {
                let text = memo.typographic_heading(&h.text, self.around.setup.typographer);
                let name = h.name.as_ref().map(|name| name.value.as_str().into());
                Item::Heading { level: h.level, text, number: None, name, end: h.end }
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
