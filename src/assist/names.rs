//! Names of blocks and players: where each is given and where it is used.

use super::view::View;
use crate::score::{BlockWord, name_key};
use crate::source::{Included, Span};
use crate::syntax::Piece;
use crate::syntax::tree::{Block, Item, Setting, Word};
use crate::syntax::values::{list, sequence, setting};

/// What a name is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Named {
    /// A block of any kind: of all of them no two have one name.
    Block,
    /// A player.
    Player,
}

/// A place where a name stands.
#[derive(Clone, Debug)]
pub struct Occurrence {
    /// What it names.
    pub named: Named,
    /// As it is written.
    pub name: String,
    /// The name alone, in the source.
    pub span: Span,
    /// Whether it is given here.
    pub given: bool,
}

impl Occurrence {
    /// Whether it is the same name.
    pub fn is_same(&self, other: &Self) -> bool {
        self.named == other.named && name_key(&self.name) == name_key(&other.name)
    }
}

/// Where the name at a byte is given, or the file that is included there.
#[must_use]
pub fn definition(view: &View<'_>, offset: usize) -> Option<Span> {
    if let Some(file) = included(view, offset) {
        return Some(file);
    }
    let all = occurrences(view);
    let here = at(&all, offset)?;
    all.iter().find(|other| other.given && other.is_same(here)).map(|other| other.span)
}

/// All places of the name at a byte, by place; without those where it is given if these are not wanted.
#[must_use]
pub fn references(view: &View<'_>, offset: usize, given_too: bool) -> Vec<Span> {
    let all = occurrences(view);
    let Some(here) = at(&all, offset) else { return Vec::new() };
    let same = all.iter().filter(|other| other.is_same(here) && (given_too || !other.given));
    let mut places: Vec<Span> = same.map(|other| other.span).collect();
    places.sort_unstable();
    places
}

/// The start of the file that is included at a byte.
fn included(view: &View<'_>, offset: usize) -> Option<Span> {
    let mut starts = view.document.items.iter().filter_map(Item::file_start);
    let name = starts.find(|start| start.span.touches(offset))?.span;
    match view.source.included(name.start())? {
        Included::File(file) => {
            let start = view.source.span_of(*file).start();
            Some(Span::new(start, start))
        }
        Included::Refused(..) => None,
    }
}

/// The name that stands at a byte, or ends there.
pub fn at(all: &[Occurrence], offset: usize) -> Option<&Occurrence> {
    all.iter().find(|one| one.span.touches(offset))
}

/// Every place of every name, in reading order.
pub fn occurrences(view: &View<'_>) -> Vec<Occurrence> {
    let mut all = Vec::new();
    all.extend(view.document.header.iter().flat_map(|line| of_line(line, None, 0)));
    for item in &view.document.items {
        match item {
            Item::Block(block) => of_block(view, block, block.at, &mut all),
            Item::Prose(prose) => {
                let names = prose.references().into_iter().map(|reference| {
                    let start = prose.at + reference.span.start() + '@'.len_utf8();
                    block_name(&reference.name, Span::new(start, start + reference.name.len()))
                });
                all.extend(names);
            }
            Item::FileStart(start) => {
                all.extend(start.header.iter().flat_map(|line| of_line(line, None, 0)));
            }
            Item::Heading(_) | Item::Include(_) | Item::FileEnd => {}
        }
    }
    all
}

fn block_name(name: &str, span: Span) -> Occurrence {
    Occurrence { named: Named::Block, name: name.to_owned(), span, given: false }
}

fn of_block(view: &View<'_>, block: &Block, at: usize, all: &mut Vec<Occurrence>) {
    let moved = |word: &Word| block_name(&word.value, word.span.moved(at));
    all.extend(block.name.iter().map(|name| Occurrence { given: true, ..moved(name) }));
    all.extend(block.parent.iter().map(moved));
    let word = Some(block.word.value);
    all.extend(block.settings().flat_map(|line| of_line(line, word, at)));
    if !block.players.is_empty() {
        all.extend(players(view, block.whole().moved(at)));
    }
}

/// The names in the value of a line of a block that starts at a byte; of a header where no block word is
/// given.
fn of_line(line: &Setting, word: Option<BlockWord>, at: usize) -> Vec<Occurrence> {
    let is = |key: &str| line.key.value.eq_ignore_ascii_case(key);
    let value = Piece::from(&line.value);
    let piece = |part: Piece<'_>| block_name(part.text, part.span().moved(at));
    match word {
        Some(BlockWord::Context) if is("play") || is("endings") => {
            let played = sequence::played(value).unwrap_or_default();
            let words = played.into_iter().flat_map(|one| [Some(one.name), one.ending]);
            words.flatten().map(|word| block_name(&word.value, word.span.moved(at))).collect()
        }
        Some(BlockWord::Edition) if is("only") || is("without") => {
            list::parts(value).into_iter().map(piece).collect()
        }
        Some(BlockWord::Edition) if is("all") => {
            let inner = setting::setting(value);
            inner.map(|inner| of_line(&inner, None, at)).unwrap_or_default()
        }
        _ if is("kit") || is("counting") => vec![piece(value)],
        _ => Vec::new(),
    }
}

/// The names of players in the lines of a range. The tree knows each only where it comes in first.
pub fn players(view: &View<'_>, range: Span) -> Vec<Occurrence> {
    let mut found = Vec::new();
    let mut at = range.start();
    for line in view.source.slice(range).split_inclusive('\n') {
        found.extend(player(line, at));
        at += line.len();
    }
    found
}

/// The name of the player that a line begins with, which starts at a byte.
fn player(line: &str, at: usize) -> Option<Occurrence> {
    let is_quote = |c: char| ['"', '“', '”', '„'].contains(&c);
    let rest = line.trim_start().strip_prefix("player")?;
    let quoted = rest.trim_start().strip_prefix(is_quote)?;
    let end = quoted.find(is_quote)?;
    let name = quoted.get(..end)?;
    let bare = name.trim_start();
    let start = at + line.len() - quoted.len() + (name.len() - bare.len());
    let bare = bare.trim_end();
    let span = Span::new(start, start + bare.len());
    Some(Occurrence { named: Named::Player, name: bare.to_owned(), span, given: true })
}
