//! A reading made complete: letters by rule, what is made from other blocks, numbers, references.

use super::account::Account;
use super::budget::{self, Budget, Spending};
use super::cells::Finder;
use super::complete_again::LastScore;
use super::compose::{self, Ground};
use super::hands;
use super::in_context::{self, WaitingBlocks};
use super::library::{self, Known, Library};
use super::made::{MadeBlock, MadeBlocks, MadeWritten};
use super::maker::{CanPlay, Draft, Made, Maker, pass_on, report, setup};
use super::making_memo::MakingMemo;
use super::players::{self, Pass};
use super::text::{self, Plain};
use super::{answers, context, edition, level_order, mentions, numbering, series, variation};
use crate::interpret::keys::KeySetting;
use crate::interpret::reading::{ReadingPart, Selection};
use crate::interpret::request::{Asked, Request};
use crate::interpret::setup::Setup;
use crate::interpret::written::WrittenBlock;
use crate::interpret::{Reading, beams};
use crate::rope::Rope;
use crate::score::settings::Rests;
use crate::score::{Block, Item, Placed, PlacedBlock, PlayerPart, Score};
use crate::source::Diagnostics;
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
    if let Some(last) = memo.last.take()
        && let Some(again) = last.again(&reading, budget)
    {
        let mut completion = Completion::new(&reading, (can_play, budget), false);
        let last = again.complete(&reading, &mut |written| {
            completion.written(written.value.clone(), written.at, memo)
        });
        if let Some((last, gone)) = last {
            gone.iter().for_each(|gone| memo.written.forget(gone));
            let score = last.score(reading.header, diagnostics);
            mentions::check_again(&score.items, &mut memo.mentions, diagnostics);
            memo.last = Some(last);
            return score;
        }
    }
    memo.all = true;
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
    /// Blocks that are printed in a context further down.
    waiting: WaitingBlocks,
    /// Whether anything is made from other blocks.
    makes: bool,
}

impl<'a> Completion<'a> {
    fn new(reading: &Reading, (can_play, budget): (CanPlay<'a>, Budget), telling: bool) -> Self {
        let library = Library::new(reading.names.clone());
        let (finder, spending) = (Finder::default(), Spending::of(budget));
        let impossible = Vec::new();
        let maker = Maker { library, can_play, finder, spending, telling, impossible };
        let is_made = |part: &Option<ReadingPart>| matches!(part, Some(ReadingPart::Request(_)));
        let makes = reading.parts.iter().any(is_made);
        Self { maker, accounts: Vec::new(), waiting: WaitingBlocks::default(), makes }
    }

    fn all(
        mut self,
        reading: Reading,
        memo: &mut MakingMemo,
        diagnostics: &mut Diagnostics,
    ) -> (Score, Vec<Account>) {
        let keeps = memo.written.keeps();
        let mut last = keeps.then(|| LastScore::begun(&reading)).flatten();
        let Reading { header, parts, selection, names: _ } = reading;
        let mut printed = edition::Printed::with_capacity(parts.len());
        for (nth, part) in parts.into_iter().enumerate() {
            last.iter_mut().for_each(|last| last.begin_part(printed.items.len()));
            let prints = |name: Option<&str>| selection.is_all() || selection.prints(name);
            match part {
                None => {}
                Some(ReadingPart::Prose(item)) => printed.add(item, true),
                Some(ReadingPart::Written(Placed { value, at })) => {
                    let prints = prints(value.block.name.as_deref());
                    let MadeWritten { made, found } = self.written(value, at, memo);
                    if let Some(found) = found {
                        diagnostics.absorb(Diagnostics::clone(&found), at);
                        last.iter_mut().for_each(|last| last.written(nth, &found));
                    }
                    self.take(made, (at, &selection, prints), &mut printed);
                }
                Some(ReadingPart::Request(request)) => {
                    let told = (request.at, &selection, prints(request.name.as_deref()));
                    let made = self.request(&request, memo);
                    if !made.found.is_empty() {
                        diagnostics.absorb(made.found.clone(), request.at);
                    }
                    // A fault may tell of names that are no part of what was asked for.
                    last = last.filter(|_| !made.found.has_errors());
                    last.iter_mut().for_each(|last| last.request(nth, &made));
                    let blocks = made.blocks.iter().cloned();
                    blocks.for_each(|block| self.take(block, told, &mut printed));
                }
            }
        }
        let edition::Printed { mut items, prints } = printed;
        numbering::number(&mut items, header.numbers);
        let items = Rope::from(items);
        let sound = !self.maker.spending.is_exceeded() && self.waiting.is_empty();
        memo.last = last.filter(|_| sound).map(|last| last.with(items.clone()));
        if self.maker.spending.is_exceeded() {
            // What can't be found is what was not made.
            self.maker.spending.report(diagnostics);
        } else {
            self.waiting.report(diagnostics);
            mentions::check_again(&items, &mut memo.mentions, diagnostics);
        }
        let (items, left_out) = edition::printed(items, &prints);
        let mut items = level_order::ordered(items, selection.by_level);
        edition::suit(&mut items, &header);
        let answers = answers::add(&mut items, &header);
        (Score { header, items, answers, left_out }, self.accounts)
    }

    /// Takes a block that was made of what stands at a byte, and is printed or not.
    fn take(
        &mut self,
        MadeBlock { mut block, known, waits }: MadeBlock,
        (at, selection, prints): (usize, &Selection, bool),
        printed: &mut edition::Printed,
    ) {
        if selection.lead_left {
            edition::turn(&mut block);
        }
        if waits {
            self.waiting.wait(block, known.clone(), at);
        } else {
            printed.add(Item::Block(PlacedBlock { block, at, number: None }), prints);
        }
        if let Some(known) = known {
            self.maker.library.keep(known);
        }
    }

    /// A block that is written, with the letters that are to be made for it.
    fn written(
        &mut self,
        written: Arc<WrittenBlock>,
        at: usize,
        memo: &mut MakingMemo,
    ) -> MadeWritten {
        if let Some(made) = memo.written.get(&written) {
            return made.clone();
        }
        let kept = memo.written.keeps().then(|| written.clone());
        let WrittenBlock { mut block, whole, keys, players, sticking } =
            Arc::unwrap_or_clone(written);
        let waits = in_context::is_printed_in_context(&block, &keys);
        let mut found = Diagnostics::default();
        let mut rule = None;
        for (index, asked) in sticking.iter().enumerate() {
            let Some(asked) = asked else { continue };
            let Some(part) = Arc::make_mut(&mut block).parts_mut().nth(index) else { continue };
            let Some(handed) = hands::give(part, asked, &mut found) else { continue };
            if self.maker.telling {
                let part = (&*part, asked.span);
                let mut account = hands::account(part, asked, &handed, &mut self.maker.finder);
                if waits {
                    account.edits.clear();
                }
                self.accounts.push(account.moved(at));
            }
            rule = handed.all.then_some(handed.rule).filter(|_| sticking.len() == 1);
        }
        if waits && self.maker.telling {
            let told = vec!["it is printed in the context that plays it".to_owned()];
            self.accounts.push(in_context::gone(whole, told).moved(at));
        }
        let keys = in_context::without_place(&keys);
        let name = block.name.as_ref().filter(|_| self.makes || memo.written.keeps());
        let known = library::known(&block, name, keys, rule, &players);
        let found = (!found.is_empty()).then(|| Arc::new(found));
        let made = MadeWritten { made: MadeBlock { block, known, waits }, found };
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
            && library::are_one(
                self.waiting.carried(request, &made.asked).as_ref(),
                made.carried.as_ref(),
            )
        {
            self.waiting.play(request, made.carried.as_ref(), &made.asked);
            // There are as many left.
            self.maker.spending.spend(request, made.signs);
            return made.clone();
        }
        let before = self.maker.spending.left();
        let mut found = Diagnostics::default();
        let (blocks, carried) = self.make(request, &mut found);
        let asked = self.maker.library.told();
        if found.has_errors() {
            self.waiting.forgive(&asked);
        } else {
            self.waiting.play(request, carried.as_ref(), &asked);
        }
        let sound = !found.has_errors() && !self.maker.spending.is_exceeded();
        let signs = before - self.maker.spending.left();
        let made = Arc::new(MadeBlocks { blocks, carried, found, asked, signs });
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
    ) -> (Vec<MadeBlock>, Option<Arc<Known>>) {
        let nothing = (Vec::new(), None);
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
            let Some(pass) = pass else { return nothing };
            passes.push(pass);
        }
        let impossible = std::mem::take(&mut self.maker.impossible);
        if players::report_impossible(request, count, impossible, diagnostics) {
            return nothing;
        }
        let Some(whole) = players::join(request, ground.as_deref(), passes, diagnostics) else {
            return nothing;
        };
        if self.maker.telling {
            self.accounts.push(players::account(request, &whole).moved(request.at));
        }
        let players = ground.map(|ground| ground.players.clone()).unwrap_or_default();
        let made = |(block, keys): (Arc<Block>, Vec<KeySetting>)| {
            let waits = in_context::is_printed_in_context(&block, &keys);
            // The name of what it stands for is that block's for what is made from it.
            let name = if whole.carried.is_some() { &request.name } else { &block.name };
            let keys = in_context::without_place(&keys);
            let known = library::known(&block, name.as_ref(), keys, whole.hands, &players);
            MadeBlock { block, known, waits }
        };
        (whole.blocks.into_iter().map(made).collect(), whole.carried)
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
        let Made { mut drafts, mut steps, hands } = made?;
        let carried = self.waiting.carried(request, self.maker.library.asked());
        if let (Some(known), Some(draft)) = (&carried, drafts.first_mut()) {
            steps.push(in_context::carry(known, request, draft));
        }
        let signs = drafts.iter().map(|draft| budget::signs(&draft.phrase)).sum();
        self.maker.spending.spend(request, signs)?;
        let mut blocks = Vec::with_capacity(drafts.len());
        let mut plain = Vec::new();
        for draft in drafts {
            let Some(block) = self.compose(request, &draft, diagnostics) else { continue };
            let waits = in_context::is_printed_in_context(&block, &draft.keys);
            if self.maker.telling && !waits {
                plain.extend(self.plain(request, &draft));
            }
            blocks.push((block, draft.keys));
        }
        Some(Pass { blocks, hands, plain, steps, carried })
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
            keys: in_context::text_keys(draft, &request.around.setup),
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
        // A context is where others are printed.
        let in_context = setup.in_context && matches!(request.asked, Asked::Variation(_));
        let meter = first.unwrap_or_else(|| setup.meter.clone());
        let setup = Setup { meter, in_context, ..setup };
        let says = |keys: &[KeySetting]| keys.iter().any(|line| line.name() == "beams");
        if says(&draft.keys) {
            // A line of the block it is made from stands elsewhere.
            let elsewhere = (!says(&request.keys)).then_some(request.span);
            beams::check_bar(&setup, elsewhere, diagnostics);
        }
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
            plays: request.asked.plays(),
            title: draft.title.clone(),
            settings: setup.block_settings(),
            part: PlayerPart::alone(setup.part_settings(), request.around.kit.clone(), bars),
            others: Vec::new(),
            span: request.span,
        }))
    }
}
