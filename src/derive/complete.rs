//! A reading made complete: letters by rule, what is made from other blocks, numbers, references.

use super::account::Account;
use super::cells::Finder;
use super::compose::{self, Ground};
use super::hands;
use super::library::{Known, Library};
use super::maker::{CanPlay, Draft, Made, Maker, report, setup};
use super::text::{self, Plain};
use super::{context, mentions, numbering, series, variation};
use crate::interpret::Reading;
use crate::interpret::keys::KeySetting;
use crate::interpret::reading::{ReadingPart, WrittenBlock};
use crate::interpret::request::{Asked, Request};
use crate::interpret::setup::Setup;
use crate::score::settings::{Numbers, Rests, StickRule};
use crate::score::{Block, BlockWord, Item, PlacedBlock, Score};
use crate::source::{Diagnostics, Severity};
use std::sync::Arc;

/// The score of a reading. Every fault found goes to `diagnostics`; what could be made is returned
/// all the same.
pub fn complete(reading: Reading, can_play: CanPlay<'_>, diagnostics: &mut Diagnostics) -> Score {
    Completion::new(&reading, can_play, false).all(reading, diagnostics).0
}

/// The score, and how the blocks that are made came about.
pub(super) fn told(
    reading: Reading,
    can_play: CanPlay<'_>,
    diagnostics: &mut Diagnostics,
) -> (Score, Vec<Account>) {
    Completion::new(&reading, can_play, true).all(reading, diagnostics)
}

/// Completes a reading block by block.
struct Completion<'a> {
    maker: Maker<'a>,
    /// Numbered blocks so far.
    numbered: u32,
    accounts: Vec<Account>,
}

impl<'a> Completion<'a> {
    fn new(reading: &Reading, can_play: CanPlay<'a>, telling: bool) -> Self {
        let library = Library::new(reading.names.clone());
        let maker = Maker { library, can_play, finder: Finder::default(), telling };
        Self { maker, numbered: 0, accounts: Vec::new() }
    }

    fn all(mut self, reading: Reading, diagnostics: &mut Diagnostics) -> (Score, Vec<Account>) {
        let header = reading.header;
        let mut items = Vec::with_capacity(reading.parts.len());
        for part in reading.parts {
            match part {
                ReadingPart::Prose(item) => items.push(item),
                ReadingPart::Written(written) => {
                    let at = written.at;
                    let mut found = Diagnostics::default();
                    let block = self.written(*written, &mut found);
                    diagnostics.absorb(found, at);
                    items.push(Item::Block(PlacedBlock { block, at }));
                }
                ReadingPart::Request(request) => {
                    let at = request.at;
                    let mut found = Diagnostics::default();
                    let blocks = self.request(&request, &mut found).into_iter();
                    diagnostics.absorb(found, at);
                    items.extend(blocks.map(|block| Item::Block(PlacedBlock { block, at })));
                }
            }
        }
        // Nothing is made any more; blocks that are shared with the library would be copied.
        drop(self.maker.library);
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
        let WrittenBlock { mut block, keys, sticking, at } = written;
        block.number = self.number(block.word);
        let handed =
            sticking.as_ref().and_then(|asked| hands::give(&mut block, asked, diagnostics));
        if let (Some(asked), Some(handed), true) = (&sticking, &handed, self.maker.telling) {
            let account = hands::account(&block, asked, handed, &mut self.maker.finder);
            self.accounts.push(account.moved(at));
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
        self.maker.library.keep(Known { word, name, title, keys, block, hands });
    }

    fn request(&mut self, request: &Request, diagnostics: &mut Diagnostics) -> Vec<Arc<Block>> {
        let made = match &request.asked {
            Asked::Variation(changes) => {
                variation::make(&mut self.maker, request, changes, diagnostics)
            }
            Asked::Context(sequence) => {
                context::make(&mut self.maker, request, sequence, diagnostics)
            }
            Asked::Series(series) => series::make(&mut self.maker, request, series, diagnostics),
        };
        let Some(Made { drafts, steps, hands }) = made else { return Vec::new() };
        let mut blocks = Vec::with_capacity(drafts.len());
        let mut plain = Vec::new();
        for draft in drafts {
            if self.maker.telling {
                plain.extend(self.plain(request, &draft));
            }
            let Some(block) = self.compose(request, &draft, diagnostics) else { continue };
            self.keep(block.clone(), draft.keys, hands);
            blocks.push(block);
        }
        if self.maker.telling {
            let text: Vec<String> = plain.iter().map(Plain::text).collect();
            let edits = vec![(request.whole, text.join("\n").trim_end().to_owned())];
            let account = Account { span: request.whole, steps, edits };
            self.accounts.push(account.moved(request.at));
        }
        blocks
    }

    /// A made block as text.
    fn plain(&mut self, request: &Request, draft: &Draft) -> Option<Plain> {
        let setup = setup(&request.around, &draft.keys);
        let full_rests = setup.rests == Rests::Full;
        let kit = &request.around.kit;
        let rows = text::rows(&draft.phrase, kit, full_rests, &mut self.maker.finder).ok()?;
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
        let bars = compose::bars(&draft.phrase, ground, &mut self.maker.finder, &mut heard);
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
        let fault = fault.code(found.code);
        if let Some(mend) = &found.mend {
            fault.mend(mend.clone());
        }
    }
}
