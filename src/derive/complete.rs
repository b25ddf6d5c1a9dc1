//! A reading made complete: letters by rule, what is made from other blocks, numbers, references.

use super::account::Account;
use super::cells::Finder;
use super::compose::{self, Ground};
use super::hands;
use super::library::{Known, Library};
use super::phrase::Phrase;
use super::row::TooFine;
use super::text::{self, Plain};
use super::{context, mentions, numbering, series, variation};
use crate::interpret::Reading;
use crate::interpret::keys::KeySetting;
use crate::interpret::reading::{ReadingPart, WrittenBlock};
use crate::interpret::request::{Asked, Request, Surroundings};
use crate::interpret::setup::Setup;
use crate::score::settings::{Numbers, Rests, StickRule};
use crate::score::{Block, BlockWord, Item, Score, Span};
use crate::source::{Diagnostics, Severity};
use std::sync::Arc;

/// Whether a drummer can play a block: what a later stage knows and a series may ask.
pub type CanPlay<'a> = &'a dyn Fn(&Block) -> bool;

/// The score of a reading. Every fault found goes to `diagnostics`; what could be made is returned
/// all the same.
pub fn complete(reading: Reading, can_play: CanPlay<'_>, diagnostics: &mut Diagnostics) -> Score {
    Maker::new(&reading, can_play, false).all(reading, diagnostics).0
}

/// The score, and how the blocks that are made came about.
pub(super) fn told(
    reading: Reading,
    can_play: CanPlay<'_>,
    diagnostics: &mut Diagnostics,
) -> (Score, Vec<Account>) {
    Maker::new(&reading, can_play, true).all(reading, diagnostics)
}

/// Makes what is to be made, block by block.
pub(super) struct Maker<'a> {
    pub(super) library: Library,
    pub(super) can_play: CanPlay<'a>,
    pub(super) finder: Finder,
    /// Numbered blocks so far.
    numbered: u32,
    /// Whether it is to be told how everything comes about.
    telling: bool,
    accounts: Vec<Account>,
}

/// A block about to be made from a phrase.
pub(super) struct Draft {
    pub(super) word: BlockWord,
    pub(super) name: Option<String>,
    pub(super) title: Option<String>,
    pub(super) keys: Vec<KeySetting>,
    pub(super) phrase: Phrase,
}

/// What a request comes to.
pub(super) struct Made {
    pub(super) drafts: Vec<Draft>,
    /// How it came about, a line each.
    pub(super) steps: Vec<String>,
    /// The rule all its letters were made by.
    pub(super) hands: Option<StickRule>,
}

impl<'a> Maker<'a> {
    fn new(reading: &Reading, can_play: CanPlay<'a>, telling: bool) -> Self {
        Self {
            library: Library::new(reading.names.clone()),
            can_play,
            finder: Finder::default(),
            numbered: 0,
            telling,
            accounts: Vec::new(),
        }
    }

    fn all(mut self, reading: Reading, diagnostics: &mut Diagnostics) -> (Score, Vec<Account>) {
        let header = reading.header;
        let mut items = Vec::with_capacity(reading.parts.len());
        for part in reading.parts {
            match part {
                ReadingPart::Prose(item) => items.push(item),
                ReadingPart::Written(written) => {
                    items.push(Item::Block(self.written(*written, diagnostics)));
                }
                ReadingPart::Request(request) => {
                    items.extend(self.request(&request, diagnostics).into_iter().map(Item::Block));
                }
            }
        }
        // Nothing is made any more; blocks that are shared with the library would be copied.
        drop(self.library);
        if header.numbers == Numbers::ByChapter {
            numbering::by_chapter(&mut items);
        }
        mentions::check(&items, diagnostics);
        (Score { header, items }, self.accounts)
    }

    fn number(&mut self, word: BlockWord) -> Option<u32> {
        let numbered = matches!(word, BlockWord::Fill | BlockWord::Exercise | BlockWord::Rudiment);
        self.numbered += u32::from(numbered);
        numbered.then_some(self.numbered)
    }

    /// A block that is written, with the letters that are to be made for it.
    fn written(&mut self, written: WrittenBlock, diagnostics: &mut Diagnostics) -> Arc<Block> {
        let WrittenBlock { mut block, keys, sticking } = written;
        block.number = self.number(block.word);
        let handed =
            sticking.as_ref().and_then(|asked| hands::give(&mut block, asked, diagnostics));
        if let (Some(asked), Some(handed), true) = (&sticking, &handed, self.telling) {
            self.accounts.push(hands::account(&block, asked, handed, &mut self.finder));
        }
        let rule = handed.filter(|handed| handed.all).map(|handed| handed.rule);
        let block = Arc::new(block);
        self.keep(block.clone(), keys, rule);
        block
    }

    /// Keeps a block that has a name, for others to be made from.
    fn keep(&mut self, block: Arc<Block>, keys: Vec<KeySetting>, hands: Option<StickRule>) {
        let Some(name) = block.name.clone() else { return };
        let (word, title) = (block.word, block.title.clone());
        self.library.keep(Known { word, name, title, keys, block, hands });
    }

    fn request(&mut self, request: &Request, diagnostics: &mut Diagnostics) -> Vec<Arc<Block>> {
        let made = match &request.asked {
            Asked::Variation(changes) => variation::make(self, request, changes, diagnostics),
            Asked::Context(sequence) => context::make(self, request, sequence, diagnostics),
            Asked::Series(series) => series::make(self, request, series, diagnostics),
        };
        let Some(Made { drafts, steps, hands }) = made else { return Vec::new() };
        let mut blocks = Vec::with_capacity(drafts.len());
        let mut plain = Vec::new();
        for draft in drafts {
            if self.telling {
                plain.extend(self.plain(request, &draft));
            }
            let Some(block) = self.compose(request, &draft, diagnostics) else { continue };
            self.keep(block.clone(), draft.keys, hands);
            blocks.push(block);
        }
        if self.telling {
            let text: Vec<String> = plain.iter().map(Plain::text).collect();
            let edits = vec![(request.whole, text.join("\n").trim_end().to_owned())];
            self.accounts.push(Account { span: request.whole, steps, edits });
        }
        blocks
    }

    /// A made block as text.
    fn plain(&mut self, request: &Request, draft: &Draft) -> Option<Plain> {
        let setup = setup(&request.around, &draft.keys);
        let full_rests = setup.rests == Rests::Full;
        let kit = &request.around.kit;
        let rows = text::rows(&draft.phrase, kit, full_rests, &mut self.finder).ok()?;
        Some(Plain {
            word: draft.word,
            name: draft.name.clone(),
            title: draft.title.clone(),
            keys: draft.keys.clone(),
            rows,
        })
    }

    /// A made block as music; its places are the head line of the block it stands for.
    fn compose(
        &mut self,
        request: &Request,
        draft: &Draft,
        diagnostics: &mut Diagnostics,
    ) -> Option<Arc<Block>> {
        let setup = setup(&request.around, &draft.keys);
        let first = draft.phrase.bars.first().map(|bar| bar.meter.clone());
        let setup = Setup { meter: first.unwrap_or_else(|| setup.meter.clone()), ..setup };
        let ground =
            Ground { around: &request.around, setup: &setup, word: draft.word, span: request.span };
        let mut heard = Diagnostics::default();
        let bars = compose::bars(&draft.phrase, ground, &mut self.finder, &mut heard);
        pass_on(request, &heard, diagnostics);
        let bars = match bars {
            Ok(bars) => bars,
            Err(too_fine) => {
                report(request, too_fine, request.span, diagnostics);
                return None;
            }
        };
        Some(Arc::new(Block {
            word: draft.word,
            name: draft.name.clone(),
            title: draft.title.clone(),
            number: self.number(draft.word),
            chapter: None,
            settings: setup.block_settings(),
            kit: request.around.kit.clone(),
            bars,
            span: request.span,
        }))
    }

    /// Tells what a phrase is; a fault where it can't be written.
    pub(super) fn tell(
        &mut self,
        request: &Request,
        phrase: &Phrase,
        (rests, span): (Rests, Span),
        steps: &mut Vec<String>,
        diagnostics: &mut Diagnostics,
    ) -> Option<()> {
        let kit = &request.around.kit;
        let full_rests = rests == Rests::Full;
        let checked = if self.telling {
            text::rows(phrase, kit, full_rests, &mut self.finder)
                .map(|rows| steps.extend(rows.iter().map(|row| format!("    {row}"))))
        } else {
            super::row::check(phrase, kit, full_rests, &mut self.finder)
        };
        checked.map_err(|too_fine| report(request, too_fine, span, diagnostics)).ok()
    }
}

/// The rule for stickings that holds where a block stands with keys of its own.
pub(super) fn stick_rule(around: &Surroundings, keys: &[KeySetting]) -> Option<StickRule> {
    let mut setup = Setup::clone(&around.setup);
    keys.iter().for_each(|line| line.apply(&mut setup));
    setup.stick
}

/// What holds in a made block that has these keys. What letters it is to have, it has.
pub(super) fn setup(around: &Surroundings, keys: &[KeySetting]) -> Setup {
    let mut setup = Setup::clone(&around.setup);
    keys.iter().for_each(|line| line.apply(&mut setup));
    Setup { stick: None, ..setup }
}

fn report(request: &Request, too_fine: TooFine, span: Span, diagnostics: &mut Diagnostics) {
    let TooFine { bar, beat } = too_fine;
    let what = &request.what;
    diagnostics
        .error(span, format!("{what}: beat {beat} of bar {bar} comes out too fine to be written"))
        .mend("take a change out, or one that cuts its cells less");
}

/// Reports what is found in a made block once, with its name.
fn pass_on(request: &Request, heard: &Diagnostics, diagnostics: &mut Diagnostics) {
    let mut said: Vec<&str> = Vec::new();
    for found in heard.sorted() {
        if said.contains(&found.message.as_str()) {
            continue;
        }
        said.push(&found.message);
        let message = format!("{}: {}", request.what, found.message);
        let fault = match found.severity {
            Severity::Error => diagnostics.error(request.span, message),
            Severity::Warning => diagnostics.warning(request.span, message),
        };
        if let Some(mend) = &found.mend {
            fault.mend(mend.clone());
        }
    }
}
