//! An `edition` block, read.

use crate::interpret::codes;
use crate::interpret::counting::CountingSystems;
use crate::interpret::keys::{self, Scope};
use crate::interpret::reading::Selection;
use crate::score::{BlockWord, Hand, name_key};
use crate::source::{Diagnostics, nearest, say};
use crate::syntax::Piece;
use crate::syntax::tree::{self, Document, Setting, Word};
use crate::syntax::values::list;
use crate::syntax::values::setting::setting;
use crate::syntax::values::stick::side;

/// Words an edition knows beside the keys of a header.
pub(crate) const WORDS: [&str; 5] = ["all", "only", "without", "lead", "order"];
/// What its order may be, and whether that is by levels.
const ORDERS: [(&str, bool); 2] = [("by level", true), ("as written", false)];

/// What an edition asks for.
#[derive(Clone, Debug, Default)]
pub(crate) struct Edition {
    /// Lines that hold over those of headers. As all places in a block theirs count from its start.
    pub(super) header: Vec<Setting>,
    /// Lines that hold over those of blocks.
    pub(super) blocks: Vec<Setting>,
    /// What is printed.
    pub(crate) selection: Selection,
}

/// The names of the editions of a file, in order.
pub fn names(document: &Document) -> Vec<String> {
    let editions = document.blocks().filter(|block| block.word.value == BlockWord::Edition);
    editions.filter_map(|block| Some(block.name.as_ref()?.value.clone())).collect()
}

/// Reads an edition of a file. What makes no sense goes to `diagnostics` and is left out.
pub(in crate::interpret) fn read(
    block: &tree::Block,
    document: &Document,
    systems: &CountingSystems,
    diagnostics: &mut Diagnostics,
) -> Edition {
    let mut reader =
        Reader { document, diagnostics, seen: Vec::new(), edition: Edition::default() };
    if block.name.is_none() {
        reader
            .diagnostics
            .error(block.span, "this edition has no name")
            .code(codes::EDITION_UNNAMED)
            .mend("give it one it is built by, as `edition student \"For the student\"`");
    }
    for line in block.sets.iter().flat_map(|set| &set.settings) {
        reader.line(line);
    }
    let mut edition = reader.edition;
    // The lines are read to find their faults, and what has one is told of here alone.
    for (lines, scope) in
        [(&mut edition.header, Scope::Header), (&mut edition.blocks, Scope::Block)]
    {
        keys::read(lines, scope, systems, diagnostics);
        lines.retain(|line| {
            let found = &mut Diagnostics::default();
            keys::read(std::slice::from_ref(line), scope, systems, found);
            !found.has_errors()
        });
    }
    if let Some(title) = &block.title
        && !edition.header.iter().any(|line| keys::is(line, "subtitle"))
    {
        let key = Word::new("subtitle".to_owned(), title.span);
        edition.header.push(Setting { key, value: title.clone() });
    }
    edition
}

/// Takes the lines of an edition.
struct Reader<'a> {
    document: &'a Document,
    diagnostics: &'a mut Diagnostics,
    /// Its own words that were said.
    seen: Vec<&'static str>,
    edition: Edition,
}

impl Reader<'_> {
    fn line(&mut self, line: &Setting) {
        let Some(word) = WORDS.into_iter().find(|word| keys::is(line, word)) else {
            match keys::is_key(line) {
                true => self.edition.header.push(line.clone()),
                false => self.unknown(line),
            }
            return;
        };
        if word != "all" && self.seen.contains(&word) {
            self.diagnostics
                .error(line.key.span, format!("`{word}` is written twice here"))
                .code(codes::LINE_TWICE)
                .mend("write one line, with commas between the blocks");
            return;
        }
        self.seen.push(word);
        match word {
            "all" => self.all(line),
            "only" => self.edition.selection.only = Some(self.blocks(line)),
            "without" => self.edition.selection.without = self.blocks(line),
            "order" => self.order(line),
            _ => self.lead(line),
        }
    }

    fn unknown(&mut self, line: &Setting) {
        let (word, span) = (line.key.value.as_str(), line.key.span);
        let fault = self
            .diagnostics
            .error(span, format!("an edition has no word `{word}`"))
            .code(codes::LINE_UNKNOWN);
        match nearest(word, WORDS.into_iter().chain(keys::header_keys())) {
            Some(near) => fault.replace(span, &near, format!("did you mean `{near}:`?")),
            None => {
                fault.mend(format!("it may say {}, and whatever a header says", say::listed(WORDS)))
            }
        }
    }

    /// `all: sticking: none`.
    fn all(&mut self, line: &Setting) {
        match setting(Piece::from(&line.value)) {
            Some(inner) => self.edition.blocks.push(inner),
            None => self
                .diagnostics
                .error(line.value.span, "`all:` is followed by a key with its value")
                .code(codes::LINE_VALUE)
                .mend("write what is to hold in all blocks, as `all: sticking: none`"),
        }
    }

    /// Names of blocks, in small letters.
    fn blocks(&mut self, line: &Setting) -> Vec<String> {
        let parts = list::parts(Piece::from(&line.value)).into_iter();
        parts.filter_map(|part| self.block(part)).collect()
    }

    fn block(&mut self, part: Piece<'_>) -> Option<String> {
        let wanted = name_key(part.text).into_owned();
        let printed = self.document.blocks().filter(|block| block.word.value.has_music());
        let names: Vec<&Word> = printed.filter_map(|block| block.name.as_ref()).collect();
        if names.iter().any(|name| name_key(&name.value) == wanted) {
            return Some(wanted);
        }
        let fault = self
            .diagnostics
            .error(part.span(), format!("no block is named `{}`", say::shortened(part.text)))
            .code(codes::EDITION_BLOCK_UNKNOWN)
            .elsewhere();
        match nearest(part.text, names.iter().map(|name| name.value.as_str())) {
            Some(near) => fault.replace(part.span(), &near, format!("did you mean `{near}`?")),
            None => fault.mend("write names of blocks with commas between them, as `crumbs, gate`"),
        }
        None
    }

    /// `order: by level`.
    fn order(&mut self, line: &Setting) {
        let Word { value, span } = &line.value;
        let Some(by_level) = list::choice(value, &ORDERS) else {
            let message = format!("`{}` is not a value for `order`", say::shortened(value));
            let mend = "write `by level`, from the easiest on, or `as written`";
            let fault = self.diagnostics.error(*span, message).code(codes::LINE_VALUE);
            match nearest(value, ORDERS.map(|(name, _)| name)) {
                Some(near) => fault.replace(*span, near, mend),
                None => fault.mend(mend),
            }
            return;
        };
        let mut keys = self.document.blocks().flat_map(|block| block.settings());
        if by_level && !keys.any(|key| keys::is(key, "level")) {
            self.diagnostics
                .error(*span, "no block says how hard it is")
                .code(codes::EDITION_ORDER)
                .mend("write a line such as `level: 3` in each block");
            return;
        }
        self.edition.selection.by_level = by_level;
    }

    /// `lead: left`.
    fn lead(&mut self, line: &Setting) {
        match side(&line.value.value) {
            Some(Hand::Left) => self.edition.selection.lead_left = true,
            Some(Hand::Right | Hand::Both) | None => self
                .diagnostics
                .error(
                    line.value.span,
                    format!("`{}` is not a value for `lead`", say::shortened(&line.value.value)),
                )
                .code(codes::LINE_VALUE)
                .replace(
                    line.value.span,
                    "left",
                    "write `left`, which turns every sticking to the other hand; without the line they stay as they are",
                ),
        }
    }
}
