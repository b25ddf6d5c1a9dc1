//! A reading made complete: letters by rule, what is made from other blocks, numbers, references.

use super::account::Account;
use super::budget::{self, Budget, Spending};
use super::cells::Finder;
use super::compose::{self, Ground};
use super::hands;
use super::library::{Known, Library};
use super::maker::{CanPlay, Draft, Made, Maker, report, setup};
use super::making_memo::{MadeBlocks, MakingMemo};
use super::players::{self, Pass};
use super::text::{self, Plain};
use super::{context, mentions, numbering, series, variation};
use crate::interpret::Reading;
use crate::interpret::keys::KeySetting;
use crate::interpret::reading::{ReadingPart, WrittenBlock};
use crate::interpret::request::{Asked, Request};
use crate::interpret::setup::Setup;
use crate::score::settings::{Rests, StickRule};
use crate::score::{Block, BlockWord, Item, Placed, PlacedBlock, PlayerPart, Score};
use crate::source::{Diagnostics, Severity};
use std::sync::Arc;

/// The score of a reading. Every fault found goes to `diagnostics`; what could be made is returned
/// all the same.
pub fn complete(
    reading: Reading,
    can_play: CanPlay<'_>,
    budget: Budget,
    diagnostics: &mut Diagnostics,
) -> Score {
    complete_again(reading, (can_play, budget), &mut MakingMemo::default(), diagnostics)
}

/// The same, where blocks may have been made before.
pub fn complete_again(
    reading: Reading,
    (can_play, budget): (CanPlay<'_>, Budget),
    memo: &mut MakingMemo,
    diagnostics: &mut Diagnostics,
) -> Score {
    Completion::new(&reading, (can_play, budget), false).all(reading, memo, diagnostics).0
}

/// The score, and how the blocks that are made came about.
pub(super) fn told(
    reading: Reading,
    with: (CanPlay<'_>, Budget),
    diagnostics: &mut Diagnostics,
) -> (Score, Vec<Account>) {
    let completion = Completion::new(&reading, with, true);
    completion.all(reading, &mut MakingMemo::default(), diagnostics)
}

/// Completes a reading block by block.
struct Completion<'a> {
    maker: Maker<'a>,
    accounts: Vec<Account>,
}

impl<'a> Completion<'a> {
    fn new(reading: &Reading, (can_play, budget): (CanPlay<'a>, Budget), telling: bool) -> Self {
        let library = Library::new(reading.names.clone());
        let (finder, spending) = (Finder::default(), Spending::of(budget));
        let impossible = Vec::new();
        let maker = Maker { library, can_play, finder, spending, telling, impossible };
        Self { maker, accounts: Vec::new() }
    }

    fn all(
        mut self,
        reading: Reading,
        memo: &mut MakingMemo,
        diagnostics: &mut Diagnostics,
    ) -> (Score, Vec<Account>) {
        let header = reading.header;
        let mut items = Vec::with_capacity(reading.parts.len());
        for part in reading.parts {
            let (made, at) = match part {
                ReadingPart::Prose(item) => {
                    items.push(item);
                    continue;
                }
                ReadingPart::Written(written) => {
                    let Placed { value, at } = written;
                    (self.written(value, at, memo), at)
                }
                ReadingPart::Request(request) => (self.request(&request, memo), request.at),
            };
            if !made.found.is_empty() {
                diagnostics.absorb(made.found.clone(), at);
            }
            for (block, known) in &made.blocks {
                if let Some(known) = known {
                    self.maker.library.keep(known.clone());
                }
                let block = block.clone();
                items.push(Item::Block(PlacedBlock { block, at, number: None }));
            }
        }
        numbering::number(&mut items, header.numbers);
        if self.maker.spending.is_exceeded() {
            // What can't be found is what was not made.
            self.maker.spending.report(diagnostics);
        } else {
            mentions::check_again(&items, &mut memo.mentions, diagnostics);
        }
        (Score { header, items }, self.accounts)
    }

    /// A block that is written, with the letters that are to be made for it.
    fn written(
        &mut self,
        written: Arc<WrittenBlock>,
        at: usize,
        memo: &mut MakingMemo,
    ) -> Arc<MadeBlocks> {
        if let Some(made) = memo.written.get(&written) {
            return made.clone();
        }
        let kept = memo.written.keeps().then(|| written.clone());
        let WrittenBlock { mut block, keys, players, sticking } = Arc::unwrap_or_clone(written);
        let mut found = Diagnostics::default();
        let mut rule = None;
        for (index, asked) in sticking.iter().enumerate() {
            let Some(asked) = asked else { continue };
            let Some(part) = Arc::make_mut(&mut block).parts_mut().nth(index) else { continue };
            let Some(handed) = hands::give(part, asked, &mut found) else { continue };
            if self.maker.telling {
                let part = (&*part, asked.span);
                let account = hands::account(part, asked, &handed, &mut self.maker.finder);
                self.accounts.push(account.moved(at));
            }
            rule = handed.all.then_some(handed.rule).filter(|_| sticking.len() == 1);
        }
        let known = known(&block, &keys, rule, &players);
        let made =
            Arc::new(MadeBlocks { blocks: vec![(block, known)], found, ..MadeBlocks::default() });
        if let Some(written) = kept {
            memo.written.put(&written, made.clone());
        }
        made
    }

    /// What a request comes to.
    fn request(&mut self, request: &Placed<Request>, memo: &mut MakingMemo) -> Arc<MadeBlocks> {
        if self.maker.spending.is_exceeded() {
            return Arc::new(MadeBlocks::default());
        }
        if let Some(made) = memo.requests.get(&request.value)
            && made.signs <= self.maker.spending.left()
            && made.asked.iter().all(|asked| self.maker.library.gives(asked))
        {
            // There are as many left.
            self.maker.spending.spend(request, made.signs);
            return made.clone();
        }
        let before = self.maker.spending.left();
        let mut found = Diagnostics::default();
        let blocks = self.make(request, &mut found);
        let asked = self.maker.library.told();
        let sound = !found.has_errors() && !self.maker.spending.is_exceeded();
        let signs = before - self.maker.spending.left();
        let made = Arc::new(MadeBlocks { blocks, found, asked, signs });
        // A fault may tell of names that are no part of what was asked for.
        if sound {
            memo.requests.put(&request.value, made.clone());
        }
        made
    }

    /// The blocks of a request: made for each player of what they are made from.
    fn make(
        &mut self,
        request: &Placed<Request>,
        diagnostics: &mut Diagnostics,
    ) -> Vec<(Arc<Block>, Option<Arc<Known>>)> {
        let ground =
            players::source_name(request).and_then(|name| self.maker.library.quietly(name));
        let ground = ground.filter(|ground| !ground.block.others.is_empty());
        let count = ground.as_ref().map_or(1, |ground| ground.block.parts().count());
        let mut passes = Vec::with_capacity(count);
        for player in 0..count {
            self.maker.library.ask_for(player, count);
            let pass = match &ground {
                Some(ground) => {
                    let own = players::of_player(request, ground, player);
                    let mut found = Diagnostics::default();
                    let pass = self.pass(&own, &mut found);
                    diagnostics.absorb_new(found);
                    pass
                }
                None => self.pass(request, diagnostics),
            };
            let Some(pass) = pass else { return Vec::new() };
            passes.push(pass);
        }
        let impossible = std::mem::take(&mut self.maker.impossible);
        if players::report_impossible(request, count, impossible, diagnostics) {
            return Vec::new();
        }
        let Some(whole) = players::join(request, ground.as_deref(), passes, diagnostics) else {
            return Vec::new();
        };
        if self.maker.telling {
            self.accounts.push(players::account(request, &whole).moved(request.at));
        }
        let players = ground.map(|ground| ground.players.clone()).unwrap_or_default();
        let known = |(block, keys): (Arc<Block>, Vec<KeySetting>)| {
            let known = known(&block, &keys, whole.hands, &players);
            (block, known)
        };
        whole.blocks.into_iter().map(known).collect()
    }

    /// What a request comes to for one player.
    fn pass(&mut self, request: &Placed<Request>, diagnostics: &mut Diagnostics) -> Option<Pass> {
        let made = match &request.asked {
            Asked::Variation(changes) => {
                variation::make(&mut self.maker, request, changes, diagnostics)
            }
            Asked::Context(sequence) => {
                context::make(&mut self.maker, request, sequence, diagnostics)
            }
            Asked::Series(series) => series::make(&mut self.maker, request, series, diagnostics),
        };
        let Made { drafts, steps, hands } = made?;
        let signs = drafts.iter().map(|draft| budget::signs(&draft.phrase)).sum();
        self.maker.spending.spend(request, signs)?;
        let mut blocks = Vec::with_capacity(drafts.len());
        let mut plain = Vec::new();
        for draft in drafts {
            if self.maker.telling {
                plain.extend(self.plain(request, &draft));
            }
            let Some(block) = self.compose(request, &draft, diagnostics) else { continue };
            blocks.push((block, draft.keys));
        }
        Some(Pass { blocks, hands, plain, steps })
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
            keys: plain_keys(draft, request.around.setup.stick),
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
            parent: request.parent.as_ref().map(|parent| parent.value.clone()),
            title: draft.title.clone(),
            settings: setup.block_settings(),
            part: PlayerPart::alone(setup.part_settings(), request.around.kit.clone(), bars),
            others: Vec::new(),
            span: request.span,
        }))
    }
}

/// The keys of a made block as text. What has no letters gets none from a rule that holds around it.
fn plain_keys(draft: &Draft, around: Option<StickRule>) -> Vec<KeySetting> {
    let mut keys = draft.keys.clone();
    let mut hands = draft.phrase.hands().peekable();
    let bare = hands.peek().is_some() && hands.all(|note| note.letter.is_none());
    if bare && around.is_some() && draft.word != BlockWord::Groove {
        keys.retain(|line| line.name() != "stick");
        keys.extend(KeySetting::new("stick", "written"));
    }
    keys
}

/// A block that has a name, for others to be made from.
fn known(
    block: &Arc<Block>,
    keys: &[KeySetting],
    hands: Option<StickRule>,
    players: &[Vec<KeySetting>],
) -> Option<Arc<Known>> {
    let name = block.name.clone()?;
    Some(Arc::new(Known {
        word: block.word,
        key: name.to_lowercase().into(),
        name,
        title: block.title.clone(),
        keys: keys.to_vec(),
        block: block.clone(),
        hands,
        players: players.to_vec(),
    }))
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
