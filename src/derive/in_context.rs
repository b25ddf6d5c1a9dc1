//! Blocks that are printed in a context and not where they stand: the first context that plays one has
//! its number and its title.

use super::account::Account;
use super::codes;
use super::library::{AskedFor, Known};
use super::maker::Draft;
use super::numbering::is_numbered;
use crate::interpret::keys::KeySetting;
use crate::interpret::request::{Asked, Request};
use crate::interpret::setup::Setup;
use crate::score::{Block, BlockWord, Span};
use crate::source::Diagnostics;
use std::sync::Arc;

/// The key that says where a block is printed.
const PRINT: &str = "print";
/// Its value for a block that stands where it is written.
const HERE: &str = "here";
/// A key that says what a block is listed under.
const TAGS: &str = "tags";

/// A block that waits for its context.
#[derive(Debug)]
struct Waiting {
    block: Arc<Block>,
    known: Option<Arc<Known>>,
    /// Where it is written.
    at: usize,
    /// A context has its number and title, or could have had them.
    played: bool,
}

/// The blocks that wait for their context.
#[derive(Debug, Default)]
pub(super) struct WaitingBlocks {
    blocks: Vec<Waiting>,
}

/// Whether a block with keys of its own is printed in a context: what has a number where it or the header
/// says so, a groove where it says so itself.
pub(super) fn is_printed_in_context(block: &Block, keys: &[KeySetting]) -> bool {
    let asks = || keys.iter().any(|line| line.name() == PRINT);
    let takes = is_numbered(block.word) || (block.word == BlockWord::Groove && asks());
    block.settings.in_context && takes
}

/// Keys without the one that says where a block is printed, which no other block takes from it.
pub(super) fn without_place(keys: &[KeySetting]) -> Vec<KeySetting> {
    keys.iter().filter(|line| line.name() != PRINT).cloned().collect()
}

/// Says that a block stands where it is written, whatever the header says.
pub(super) fn keep_here(keys: &mut Vec<KeySetting>) {
    keys.retain(|line| line.name() != PRINT);
    keys.extend(KeySetting::new(PRINT, HERE));
}

impl WaitingBlocks {
    /// Whether none waits, nor did any.
    pub(super) fn is_empty(&self) -> bool {
        self.blocks.is_empty()
    }

    /// Lets a block wait that starts at a byte.
    pub(super) fn wait(&mut self, block: Arc<Block>, known: Option<Arc<Known>>, at: usize) {
        self.blocks.push(Waiting { block, known, at, played: false });
    }

    /// The first block a context was made from that waits for a number to be carried.
    pub(super) fn carried(&self, request: &Request, asked: &[AskedFor]) -> Option<Arc<Known>> {
        let Asked::Context(sequence) = &request.asked else { return None };
        if sequence.own.is_some() {
            return None;
        }
        asked.iter().filter_map(AskedFor::found).find_map(|known| {
            let found = self.blocks.iter().find(|waiting| waiting.is(known))?;
            (is_numbered(known.word) && !found.played).then(|| known.clone())
        })
    }

    /// Remembers that a context has the number of a block. A groove that is played needs no more.
    pub(super) fn play(
        &mut self,
        request: &Request,
        carried: Option<&Arc<Known>>,
        asked: &[AskedFor],
    ) {
        let Asked::Context(_) = &request.asked else { return };
        for waiting in &mut self.blocks {
            let has = |known: &Arc<Known>| waiting.is(known);
            let numbered = is_numbered(waiting.block.word);
            let played = asked.iter().filter_map(AskedFor::found).any(has);
            waiting.played |= carried.is_some_and(has) || (played && !numbered);
        }
    }

    /// Remembers that what a context with faults would play is not to be missed.
    pub(super) fn forgive(&mut self, asked: &[AskedFor]) {
        for waiting in &mut self.blocks {
            waiting.played |=
                asked.iter().filter_map(AskedFor::found).any(|known| waiting.is(known));
        }
    }

    /// Reports the blocks that no context plays.
    pub(super) fn report(&self, diagnostics: &mut Diagnostics) {
        for waiting in self.blocks.iter().filter(|waiting| !waiting.played) {
            let mut found = Diagnostics::default();
            let mend = match &waiting.block.name {
                Some(name) => format!(
                    "play it in a context of its own, as `play: loft x3, {name}`, or leave `print: in context` out"
                ),
                None => {
                    "give it a name that a context can play, as `fill crumbs \"Crumbs\"`".to_owned()
                }
            };
            found
                .error(
                    waiting.block.span,
                    "this is printed in a context, and no context plays it first",
                )
                .code(codes::CONTEXT_MISSING)
                .mend(mend);
            diagnostics.absorb(found, waiting.at);
        }
    }
}

impl Waiting {
    fn is(&self, known: &Arc<Known>) -> bool {
        self.known.as_ref().is_some_and(|own| Arc::ptr_eq(own, known))
    }
}

/// Gives what a context comes to the place of a block: its word, name, title and tags. The context's own
/// title follows in brackets.
pub(super) fn carry(known: &Known, request: &Request, draft: &mut Draft) -> String {
    draft.word = known.word;
    draft.name = Some(known.name.clone());
    draft.title = match (&known.title, &request.title) {
        (Some(title), Some(own)) => Some(format!("{title} ({own})")),
        (Some(title), None) => Some(title.clone()),
        (None, own) => own.clone(),
    };
    let tags = known.keys.iter().filter(|line| line.name() == TAGS);
    if !request.keys.iter().any(|line| line.name() == TAGS) {
        draft.keys.retain(|line| line.name() != TAGS);
        draft.keys.extend(tags.cloned());
    }
    format!("it stands for `{}`, with its number and title", known.name)
}

/// The account of a block that is printed elsewhere: it goes from the text.
pub(super) fn gone(whole: Span, steps: Vec<String>) -> Account {
    Account { span: whole, steps, blocks: Some(Vec::new()), edits: Vec::new() }
}

/// The keys of a made block as text. What has no letters gets none from a rule that holds around it.
pub(super) fn text_keys(draft: &Draft, around: &Setup) -> Vec<KeySetting> {
    let mut keys = draft.keys.clone();
    if around.in_context && is_numbered(draft.word) {
        keep_here(&mut keys);
    }
    let mut hands = draft.phrase.hands().peekable();
    let bare = hands.peek().is_some() && hands.all(|note| note.letter.is_none());
    if bare && around.stick.is_some() && draft.word != BlockWord::Groove {
        keys.retain(|line| line.name() != "stick");
        keys.extend(KeySetting::new("stick", "written"));
    }
    keys
}
