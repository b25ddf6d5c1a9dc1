//! Tree to model: rows, voices, what hangs on notes, settings, counting, and the wording of faults.

pub(crate) mod assemble;
mod bars;
mod break_up;
mod counted;
pub mod counting;
mod deal;
pub(crate) mod divisions;
mod extras;
mod file_start;
mod finish;
mod flow;
mod grid;
pub(crate) mod keys;
pub(crate) mod kit_rows;
pub(crate) mod marks;
mod mentions;
mod misfit;
mod numbering;
mod rows;
mod ruler;
mod same_bars;
mod shapes;
mod sticking;
pub(crate) mod values;
mod voices;
mod words;

use crate::derive::hands::StickRule;
use crate::derive::made::{Known, Library, Made, Maker, Plain};
use crate::perform::playable;
use crate::score::settings::Numbers;
use crate::score::{Block, BlockWord, Header, Item, Kit, Score};
use crate::source::{Diagnostics, Source, Span, Spanned};
use crate::syntax::tree::{self, Document};
use assemble::Context;
use counting::Systems;
use keys::{Place, Setup};
use std::collections::BTreeSet;
use std::sync::Arc;

/// The files the header's `text-font` names, each with the place of the whole value.
pub fn text_font(document: &Document) -> Vec<Spanned<String>> {
    let asked = |s: &&tree::Setting| s.key.value.eq_ignore_ascii_case("text-font");
    let Some(setting) = document.header.iter().find(asked) else { return Vec::new() };
    let span = setting.value.span;
    let files = values::files(&setting.value.value);
    files.into_iter().take(3).map(|value| Spanned { value, span }).collect()
}

/// Understands a tree. Every fault found goes to `diagnostics`; what could be understood is
/// returned all the same.
///
/// A `kit` block holds for the blocks after it; a `syllables` table for the whole file.
/// What can't be played is told as a warning.
pub fn build(source: &Source, document: &Document, diagnostics: &mut Diagnostics) -> Score {
    let score = understand(document, diagnostics).0;
    for item in &score.items {
        let Item::Block(block) = item else { continue };
        for playable::Found { span, message, mend } in playable::check(block) {
            // Marks stand under one line. What is made has no cells of its own to mark.
            let line = source.line_at(span.start);
            let span = Span::new(span.start, span.end.min(line.end.max(span.start)));
            let head = source.slice(block.span);
            let what = match head.split('"').next() {
                Some(head) if span == block.span => format!("{}, ", head.trim()),
                _ => String::new(),
            };
            diagnostics.warning(span, format!("{what}{message}")).mend(mend);
        }
    }
    score
}

/// The score, and how the blocks that are made came about.
pub(crate) fn understand(document: &Document, diagnostics: &mut Diagnostics) -> (Score, Vec<Made>) {
    let systems = systems(document, diagnostics);
    let mut header = Header::default();
    let mut setup = Setup::default();
    setup.take(&document.header, Place::Header, &mut header, &systems, diagnostics);
    let mut reader = Reader {
        setup,
        systems,
        kit: Arc::new(Kit::five_piece()),
        numbered: 0,
        library: Library::default(),
        later: names(document),
        made: Vec::new(),
        outer: Vec::new(),
        document_keys: document.header.clone(),
    };
    reader.check_names(document, diagnostics);
    let mut items: Vec<Item> =
        document.items.iter().flat_map(|i| reader.item(i, diagnostics)).collect();
    if header.numbers == Numbers::ByChapter {
        numbering::by_chapter(&mut items);
    }
    mentions::check(&items, diagnostics);
    (Score { header, items }, reader.made)
}

/// The names of all blocks in lower case.
fn names(document: &Document) -> Vec<String> {
    let blocks = document.items.iter().filter_map(|item| match item {
        tree::Item::Block(block) => block.name.as_ref(),
        _ => None,
    });
    blocks.map(|name| name.value.to_lowercase()).collect()
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
pub(crate) struct Reader {
    setup: Setup,
    systems: Systems,
    kit: Arc<Kit>,
    /// Numbered blocks so far.
    numbered: u32,
    /// Blocks with a name so far.
    library: Library,
    /// Names of all blocks, so that one further down can be pointed at.
    later: Vec<String>,
    made: Vec<Made>,
    /// What the files say that include the one being read.
    outer: Vec<Setup>,
    /// The header of the first file.
    document_keys: Vec<tree::Setting>,
}

impl Reader {
    fn item(&mut self, item: &tree::Item, diagnostics: &mut Diagnostics) -> Vec<Item> {
        vec![match item {
            tree::Item::Heading(h) => Item::Heading { level: h.level, text: h.text.clone() },
            tree::Item::Paragraph(p) => Item::Paragraph(p.text.clone()),
            tree::Item::List(list) => Item::List {
                numbered: list.numbered,
                entries: list.entries.iter().map(|e| e.text.clone()).collect(),
            },
            tree::Item::FileStart(start) => {
                return self.file_start(start, diagnostics).into_iter().collect();
            }
            tree::Item::FileEnd => {
                self.setup = self.outer.pop().unwrap_or_else(|| self.setup.clone());
                return Vec::new();
            }
            // It was reported where it could not be joined.
            tree::Item::Include(_) => return Vec::new(),
            tree::Item::Block(block) if block.word.value.is_made() => {
                return self.make(block, diagnostics);
            }
            tree::Item::Block(block) => {
                return self.block(block, diagnostics).map(Item::Block).into_iter().collect();
            }
        }]
    }

    fn number(&mut self, word: BlockWord) -> Option<u32> {
        let numbered = matches!(word, BlockWord::Fill | BlockWord::Exercise | BlockWord::Rudiment);
        self.numbered += u32::from(numbered);
        numbered.then_some(self.numbered)
    }

    fn block(&mut self, block: &tree::Block, diagnostics: &mut Diagnostics) -> Option<Block> {
        match block.word.value {
            BlockWord::Syllables => return None,
            BlockWord::Kit => {
                self.kit = Arc::new(kit_rows::changed(&self.kit, block, diagnostics));
                return None;
            }
            _ => {}
        }
        let number = self.number(block.word.value);
        let context = Context { setup: &self.setup, systems: &self.systems, kit: &self.kit };
        let (music, handed) = assemble::block(block, number, &context, diagnostics);
        let settings = block.sets.first().map(|s| s.settings.as_slice()).unwrap_or_default();
        let key = |s: &tree::Setting| (s.key.value.to_lowercase(), s.value.value.clone());
        let keys = settings.iter().map(key).filter(|(key, _)| key != "stick").collect();
        let rule = handed.as_ref().filter(|h| h.all).map(|h| h.rule);
        self.remember(block.word.value, &music, keys, rule);
        self.made.extend(handed.map(|handed| handed.made(block)));
        Some(music)
    }

    /// Keeps a block that has a name, for others to be made from.
    fn remember(
        &mut self,
        word: BlockWord,
        block: &Block,
        keys: Vec<(String, String)>,
        hands: Option<StickRule>,
    ) {
        let Some(name) = &block.name else { return };
        let known = Known {
            word,
            name: name.clone(),
            title: block.title.clone(),
            keys,
            block: Arc::new(block.clone()),
            hands,
        };
        self.library.entry(name.to_lowercase()).or_insert(known);
    }

    /// A block made from others or by a rule.
    fn make(&mut self, block: &tree::Block, diagnostics: &mut Diagnostics) -> Vec<Item> {
        let context = Context { setup: &self.setup, systems: &self.systems, kit: &self.kit };
        let maker = Maker { context: &context, library: &self.library, later: &self.later };
        let made = match block.word.value {
            BlockWord::Variation => maker.variation(block, diagnostics),
            BlockWord::Context => maker.context(block, diagnostics),
            BlockWord::Series => maker.series(block, diagnostics),
            _ => None,
        };
        let Some(made) = made else { return Vec::new() };
        let what = match &block.name {
            Some(name) => format!("{} `{}`", block.word.value.as_str(), name.value),
            None => block.word.value.as_str().to_owned(),
        };
        let mut items = Vec::new();
        for plain in &made.plain {
            let music = self.realise(&what, plain, made.hands, block.span, diagnostics);
            items.extend(music.map(Item::Block));
        }
        self.made.push(made);
        items
    }

    fn realise(
        &mut self,
        what: &str,
        plain: &Plain,
        hands: Option<StickRule>,
        span: Span,
        diagnostics: &mut Diagnostics,
    ) -> Option<Block> {
        let number = self.number(plain.word);
        let context = Context { setup: &self.setup, systems: &self.systems, kit: &self.kit };
        let maker = Maker { context: &context, library: &self.library, later: &self.later };
        let music = maker.realise(what, plain, number, span, diagnostics)?;
        self.remember(plain.word, &music, plain.keys.clone(), hands);
        Some(music)
    }

    /// Every name belongs to one block, and what is defined is used.
    fn check_names(&self, document: &Document, diagnostics: &mut Diagnostics) {
        let mut names: BTreeSet<String> = BTreeSet::new();
        let mut asked: BTreeSet<String> = self.setup.counting.iter().cloned().collect();
        let mut kit_without_music = None;
        for item in &document.items {
            if let tree::Item::FileStart(start) = item {
                let counting = start.header.iter().filter(|s| keys::is(s, "counting"));
                asked.extend(counting.map(|s| s.value.value.trim().to_lowercase()));
            }
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
