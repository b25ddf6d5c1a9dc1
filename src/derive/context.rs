//! Contexts: blocks one after another, as a fill after three bars of its groove.

use super::budget;
use super::codes;
use super::hands;
use super::library::Known;
use super::maker::{Draft, Made, Maker};
use super::phrase::{BarMark, Phrase, PhraseBar};
use super::text::signature;
use crate::interpret::keys::KeySetting;
use crate::interpret::request::{Ending, PlayedBlock, Request, Sequence};
use crate::score::kit::Limb;
use crate::score::mark::Passes;
use crate::score::{BlockWord, Closing, Placed, Span};
use crate::source::{Code, Diagnostics, say};
use std::sync::Arc;

/// Most bars of a context.
const MOST_BARS: usize = 256;

/// Music put together so far, and how.
struct Joined {
    phrase: Phrase,
    steps: Vec<String>,
    /// The first and the last block that were put in.
    ends: Option<(Arc<Known>, Arc<Known>)>,
}

/// The block a context comes to.
pub(super) fn make(
    maker: &mut Maker<'_>,
    request: &Placed<Request>,
    sequence: &Sequence,
    diagnostics: &mut Diagnostics,
) -> Option<Made> {
    let mut joiner = Joiner { maker, request, diagnostics };
    let mut all = Joined { phrase: Phrase::empty(), steps: Vec::new(), ends: None };
    for piece in &sequence.play {
        joiner.add(piece, &mut all)?;
    }
    if let Some(endings) = &sequence.endings {
        joiner.endings(endings, &mut all)?;
    }
    let Joined { mut phrase, mut steps, ends } = all;
    let (first, last) = ends?;
    let own = |key: &str| request.keys.iter().any(|line| line.name() == key);
    let mut keys = first.keys_under(&request.keys);
    let asked = super::maker::stick_rule(&request.around, &request.keys);
    keys.retain(|line| line.name() != "stick");
    let kit = &*request.around.kit;
    if let Some(rule) = asked.filter(|_| own("stick")) {
        hands::stick(&mut phrase, kit, rule);
        steps.push(format!("`stick: {}`: {}", rule.words(), rule.told()));
    }
    if !own("voices") {
        keys.retain(|line| line.name() != "voices");
        let feet = phrase.notes.iter().any(|n| n.limb == Limb::Feet);
        let voices = if phrase.by_bar {
            Some("by bar")
        } else {
            Some("one").filter(|_| feet && !phrase.apart)
        };
        keys.extend(voices.and_then(|voices| KeySetting::new("voices", voices)));
    }
    let rests = first.block.part.settings.rests;
    maker.tell(request, &phrase, (rests, request.span), &mut steps, diagnostics)?;
    let title = request.title.clone();
    let draft = Draft {
        word: BlockWord::Groove,
        name: request.name.clone(),
        title: title.or(last.title.as_ref().map(|t| format!("{t}, in context"))),
        keys,
        phrase,
    };
    Some(Made { drafts: vec![draft], steps, hands: None })
}

/// Puts blocks together.
struct Joiner<'m, 'a> {
    maker: &'m mut Maker<'a>,
    request: &'m Placed<Request>,
    diagnostics: &'m mut Diagnostics,
}

impl Joiner<'_, '_> {
    fn fault(&mut self, code: Code, span: Span, message: &str, mend: &str) {
        let what = &self.request.what;
        self.diagnostics.error(span, format!("{what}: {message}")).code(code).mend(mend);
    }

    /// A block by its name, and its music.
    fn known(&mut self, name: &crate::score::Spanned<String>) -> Option<(Arc<Known>, Phrase)> {
        let what = &self.request.what;
        let known = self.maker.library.known(what, name, self.diagnostics)?;
        let kit = &self.request.around.kit;
        let phrase = known.phrase(what, kit, name.span, self.diagnostics)?;
        Some((known, phrase))
    }

    fn add(&mut self, piece: &PlayedBlock, all: &mut Joined) -> Option<()> {
        let (known, phrase) = self.known(&piece.name)?;
        let span = piece.name.span;
        self.join(&known, &phrase, span, all)?;
        let alike =
            phrase.bars.len() == 1 && phrase.bars.iter().all(|bar| bar.closing == Closing::Single);
        let from = all.phrase.bars.len() + 1;
        let mut last = known.clone();
        for time in 1..=piece.times {
            let before = all.phrase.bars.len();
            match &piece.ending {
                Some(name) if time == piece.times => {
                    let (end, tail) = self.known(name)?;
                    if !replaces(&phrase, &tail) {
                        self.no_ending(&known, &end, tail.bars.len(), name.span);
                        return None;
                    }
                    all.phrase.append(&phrase.without_last(tail.bars.len()));
                    all.phrase.append(&tail);
                    last = end;
                }
                Some(_) | None => {
                    all.phrase.append(&phrase);
                    // A bar that is played again is written as a repeat of the bar before.
                    let again = all.phrase.bars.get_mut(before).filter(|_| time > 1 && alike);
                    again.into_iter().for_each(|bar| bar.same = true);
                }
            }
            self.maker.spending.allow(self.request, budget::signs(&all.phrase))?;
            if all.phrase.bars.len() > MOST_BARS {
                let message = format!("it comes to more than {MOST_BARS} bars");
                self.fault(codes::CONTEXT_TOO_LONG, span, &message, "play its blocks fewer times");
                return None;
            }
        }
        let to = all.phrase.bars.len();
        all.steps.push(told(&known, piece, from, to));
        let first = all.ends.take().map_or(known, |(first, _)| first);
        all.ends = Some((first, last));
        Some(())
    }

    fn no_ending(&mut self, known: &Known, end: &Known, bars: usize, span: Span) {
        let last = match bars {
            1 => "bar".to_owned(),
            n => format!("{} bars", say::number(n)),
        };
        let message =
            format!("`{}` does not fit in place of the last {last} of `{}`", end.name, known.name);
        self.fault(
            codes::ENDING_MISFIT,
            span,
            &message,
            "an ending has no more bars than the block, of the same length",
        );
    }

    /// Whether a block can follow what is there.
    fn join(&mut self, known: &Known, phrase: &Phrase, span: Span, all: &mut Joined) -> Option<()> {
        let Some(before) = all.phrase.bars.last() else { return Some(()) };
        let is_short = |bar: &PhraseBar| bar.length != bar.meter.length();
        let short = phrase.bars.iter().any(is_short);
        if short || is_short(before) {
            let last = all.ends.as_ref().map_or("", |(_, last)| last.name.as_str());
            let name = if short { known.name.as_str() } else { last };
            self.fault(
                codes::PICKUP_INSIDE,
                span,
                &format!("a bar of `{name}` is short, for it has a pickup"),
                "a context joins whole bars; write the pickup into a bar of its own",
            );
            return None;
        }
        if let Some((first, _)) = &all.ends
            && first.block.settings.swing != known.block.settings.swing
        {
            let (what, first) = (&self.request.what, &first.name);
            let message = format!(
                "{what}: `{first}` and `{}` do not have the same feel; that of `{first}` is printed",
                known.name
            );
            self.diagnostics
                .warning(span, message)
                .code(codes::FEELS_DIFFER)
                .mend("give both the same `swing:`");
        }
        let meter = phrase.bars.first().map(|b| &b.meter)?;
        if !meter.is_same_time(&before.meter) {
            let (from, to) = (signature(&before.meter), signature(meter));
            all.steps.push(format!("the time changes from {from} to {to}"));
        }
        Some(())
    }

    /// Different ends for what is repeated.
    fn endings(&mut self, endings: &Ending, all: &mut Joined) -> Option<()> {
        let count = endings.pieces.len();
        if count < 2 || all.phrase.bars.iter().any(|b| b.repeat_start) {
            self.fault(
                codes::ENDINGS_WRONG,
                endings.span,
                "endings close a passage that is repeated once for each",
                "name two endings or more, as `endings: crumbs, gallop`, after blocks without repeats of their own",
            );
            return None;
        }
        if let Some(first) = all.phrase.bars.first_mut() {
            first.repeat_start = true;
        }
        for (number, piece) in (1..).zip(&endings.pieces) {
            let start = all.phrase.bars.len();
            self.add(piece, all)?;
            if let Some(bar) = all.phrase.bars.get_mut(start) {
                bar.mark = Some(BarMark::Ending(Passes::new(vec![number])));
            }
            if let Some(bar) = all.phrase.bars.last_mut() {
                let last = usize::try_from(number).is_ok_and(|number| number == count);
                bar.closing = match last {
                    true => Closing::Single,
                    false => Closing::Repeat { times: 2, counted: false },
                };
            }
        }
        Some(())
    }
}

/// Which bars a piece became.
fn told(known: &Known, piece: &PlayedBlock, from: usize, to: usize) -> String {
    let bars = if from == to { format!("bar {from}") } else { format!("bars {from} to {to}") };
    let ending = piece.ending.as_ref();
    let ending = ending.map(|e| format!(", its end replaced by `{}`", e.value));
    let times = match piece.times {
        1 => String::new(),
        n => format!(", {} times", say::number(n)),
    };
    format!("{bars}: `{}`{times}{}", known.name, ending.unwrap_or_default())
}

/// Whether bars can stand in the place of the last of a phrase.
fn replaces(phrase: &Phrase, tail: &Phrase) -> bool {
    let lengths = |p: &Phrase| p.bars.iter().rev().map(|b| b.length).collect::<Vec<_>>();
    lengths(phrase).starts_with(&lengths(tail))
}
