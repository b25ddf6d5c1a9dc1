//! Contexts: blocks one after another, as a fill after three bars of its groove.

use super::budget;
use super::codes;
use super::context_told::told;
use super::entry::{Entering, Ground};
use super::hands;
use super::library::Known;
use super::maker::{Draft, Made, Maker, stick_rule};
use super::phrase::Phrase;
use super::signature::signature;
use crate::interpret::keys::KeySetting;
use crate::interpret::request::{Ending, Entry, PlayedBlock, Request, Sequence};
use crate::score::kit::{InstrumentId, Limb};
use crate::score::mark::{FormMark, Passes};
use crate::score::{BlockWord, Closing, MarkKind, Placed, Span, Spanned};
use crate::source::{Code, Diagnostics, say};
use std::sync::Arc;

/// Most bars of a context.
const MOST_BARS: usize = 256;
/// Keys that a context does not take from the blocks it plays.
const OWN_KEYS: [&str; 3] = ["stick", "print", PRACTICE];
/// The key that says how a block is practised, which a context may have of its own.
const PRACTICE: &str = "practice";

/// Music put together so far, and how.
#[derive(Default)]
pub(super) struct Joined {
    pub(super) phrase: Phrase,
    pub(super) steps: Vec<String>,
    /// The first and the last block that were put in.
    pub(super) ends: Option<(Arc<Known>, Arc<Known>)>,
    /// What goes on under what comes in: the last groove, or the last block where there is none.
    pub(super) ground: Option<(Arc<Known>, Phrase)>,
    /// The names of what was played.
    played: Vec<Arc<str>>,
}

/// The block a context comes to.
pub(super) fn make(
    maker: &mut Maker<'_>,
    request: &Placed<Request>,
    sequence: &Sequence,
    diagnostics: &mut Diagnostics,
) -> Option<Made> {
    let mut joiner = Joiner { maker, request, diagnostics };
    let mut all = Joined::default();
    for piece in &sequence.play {
        joiner.add(piece, &mut all)?;
    }
    if let Some(endings) = &sequence.endings {
        joiner.endings(endings, &mut all)?;
    }
    if let Some(own) = &sequence.own {
        joiner.rows(own, &mut all)?;
    }
    let Joined { mut phrase, mut steps, ends, .. } = all;
    if phrase.pickup().is_none() {
        // No pickup before it makes up for what its last bar lacks.
        phrase.fill_last_bar();
    }
    let (first, last) = ends?;
    let keys = keys(request, &first, &mut phrase, &mut steps);
    let rests = first.block.part.settings.rests;
    maker.tell(request, &phrase, (rests, request.span), &mut steps, diagnostics)?;
    let title = request.title.clone();
    let in_context = last.title.as_ref().map(|t| format!("{t}, in context"));
    // What has a fill of its own is numbered as one.
    let word = if sequence.own.is_some() { BlockWord::Fill } else { BlockWord::Groove };
    let name = request.name.clone();
    let draft = Draft { word, name, title: title.or(in_context), keys, phrase };
    Some(Made { drafts: vec![draft], steps, hands: None })
}

/// The keys of a context, and the letters that one of them asks for.
fn keys(
    request: &Request,
    first: &Known,
    phrase: &mut Phrase,
    steps: &mut Vec<String>,
) -> Vec<KeySetting> {
    let own = |key: &str| request.keys.iter().any(|line| line.name() == key);
    let mut keys = first.keys_under(&request.keys);
    keys.retain(|line| !OWN_KEYS.contains(&line.name()));
    keys.extend(request.keys.iter().filter(|line| line.name() == PRACTICE).cloned());
    if phrase.pickup().is_none() {
        keys.retain(|line| line.name() != "pickup");
    }
    let asked = stick_rule(&request.around, &request.keys);
    if let Some(rule) = asked.filter(|_| own("stick")) {
        hands::stick(phrase, &request.around.kit, rule);
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
    keys
}

/// Puts blocks together.
pub(super) struct Joiner<'m, 'a> {
    pub(super) maker: &'m mut Maker<'a>,
    pub(super) request: &'m Placed<Request>,
    pub(super) diagnostics: &'m mut Diagnostics,
}

impl Joiner<'_, '_> {
    pub(super) fn fault(&mut self, code: Code, span: Span, message: &str, mend: &str) {
        let what = &self.request.what;
        self.diagnostics.error(span, format!("{what}: {message}")).code(code).mend(mend);
    }

    /// A block by its name, and its music.
    fn known(&mut self, name: &Spanned<String>) -> Option<(Arc<Known>, Phrase)> {
        let what = &self.request.what;
        let known = self.maker.library.known(what, name, self.diagnostics)?;
        let kit = &self.request.around.kit;
        let phrase = known.phrase(what, kit, name.span, self.diagnostics)?;
        Some((known, phrase))
    }

    /// Adds what a line plays.
    fn add(&mut self, piece: &PlayedBlock, all: &mut Joined) -> Option<()> {
        let (known, phrase) = self.known(&piece.name)?;
        let span = piece.name.span;
        self.join(&known, &phrase, span, all)?;
        let tail = match &piece.ending {
            Some(name) => Some(self.tail(&known, &phrase, (name, &piece.entry))?),
            None => None,
        };
        let over: &[InstrumentId] = match &tail {
            Some(_) => &[],
            None => piece.entry.over.as_slice(),
        };
        let alike = over.is_empty()
            && matches!(phrase.bars.as_slice(), [bar] if bar.closing == Closing::Single);
        let from = all.phrase.bars.len() + 1;
        for time in 1..=piece.times {
            let mut played = phrase.clone();
            if time > 1 || all.played.contains(&known.key) {
                played.attached = played.attached.played_again();
            }
            match &tail {
                Some((_, tail)) if time == piece.times => {
                    played = played.without_last(tail.bars.len());
                    played.append(tail);
                }
                Some(_) => {}
                None => {
                    let from = piece.entry.from.clone().filter(|_| time == 1);
                    let entry = Entry { from, over: over.to_vec() };
                    played = self.come_in(&entry, (&known, span), played, all.ground.as_ref())?;
                }
            }
            // A bar that is played again is written as a repeat of the bar before; after a bar in part it
            // is not the same.
            let whole = tail.is_none() || time < piece.times;
            let after_whole = time > 2 || piece.entry.from.is_none() || tail.is_some();
            if time > 1 && alike && whole && after_whole {
                played.repeat_bar_before();
            }
            self.put((&known, span), played, over, all)?;
        }
        let to = all.phrase.bars.len();
        all.steps.push(told(&known, piece, (from, to), &self.request.around.kit));
        let last = tail.map_or_else(|| known.clone(), |(last, _)| last);
        all.end(known, phrase, last);
        Some(())
    }

    /// The end that takes the place of the last bars of a block.
    fn tail(
        &mut self,
        known: &Known,
        phrase: &Phrase,
        (name, entry): (&Spanned<String>, &Entry),
    ) -> Option<(Arc<Known>, Phrase)> {
        let (end, tail) = self.known(name)?;
        let count = tail.bars.len();
        if !replaces(phrase, &tail) {
            self.no_ending(known, &end, count, name.span);
            return None;
        }
        let replaced = phrase.slice(phrase.bars.len() - count..phrase.bars.len());
        let own = Ground { name: &known.name, phrase: &replaced };
        let tail = self.entering().come_in(entry, (&end, name.span), tail, Some(own))?;
        Some((end, tail))
    }

    pub(super) fn entering(&mut self) -> Entering<'_> {
        Entering { request: self.request, diagnostics: self.diagnostics }
    }

    /// What is heard of a block that comes in over what was played before it.
    pub(super) fn come_in(
        &mut self,
        entry: &Entry,
        (known, span): (&Known, Span),
        phrase: Phrase,
        ground: Option<&(Arc<Known>, Phrase)>,
    ) -> Option<Phrase> {
        let ground = ground.map(|(known, phrase)| Ground { name: &known.name, phrase });
        self.entering().come_in(entry, (known, span), phrase, ground)
    }

    /// Puts music behind what is there. Its pickup falls into the bar before.
    pub(super) fn put(
        &mut self,
        (known, span): (&Known, Span),
        mut played: Phrase,
        over: &[InstrumentId],
        all: &mut Joined,
    ) -> Option<()> {
        let whole = &mut all.phrase;
        if let Some(room) = whole.fill_last_bar()
            && let Some(length) = played.pickup()
        {
            if length > room {
                self.fault(
                    codes::PICKUP_INSIDE,
                    span,
                    &format!("the pickup of `{}` is longer than the bar it falls into", known.name),
                    "write the pickup into a bar of its own",
                );
                return None;
            }
            let pickup = played.slice(0..1);
            if let Err(at) = whole.lead_in(&pickup, over) {
                let all = whole.clone();
                self.entering().three_hands((&known.name, span), &all, at);
                return None;
            }
            played = played.slice(1..played.bars.len());
        }
        whole.append(&played);
        let signs = budget::signs(whole);
        self.maker.spending.allow(self.request, signs)?;
        if whole.bars.len() > MOST_BARS {
            let message = format!("it comes to more than {MOST_BARS} bars");
            self.fault(codes::CONTEXT_TOO_LONG, span, &message, "play its blocks fewer times");
            return None;
        }
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

    /// Tells where the feel or the time is not that of what is there.
    pub(super) fn join(
        &mut self,
        known: &Known,
        phrase: &Phrase,
        span: Span,
        all: &mut Joined,
    ) -> Option<()> {
        let Some(before) = all.phrase.bars.last() else { return Some(()) };
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
            let at = all.phrase.length();
            self.add(piece, all)?;
            let passes = MarkKind::Form(FormMark::Ending(Passes::new(vec![number])));
            all.phrase.attached.add_mark(at, passes);
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

impl Joined {
    /// Remembers what was played last.
    pub(super) fn end(&mut self, known: Arc<Known>, phrase: Phrase, last: Arc<Known>) {
        self.played.push(known.key.clone());
        let groove = self.ground.as_ref().is_some_and(|(own, _)| own.word == BlockWord::Groove);
        if known.word == BlockWord::Groove || !groove {
            self.ground = Some((known.clone(), phrase));
        }
        let first = self.ends.take().map_or(known, |(first, _)| first);
        self.ends = Some((first, last));
    }
}

/// Whether bars can stand in the place of the last of a phrase.
fn replaces(phrase: &Phrase, tail: &Phrase) -> bool {
    let lengths = |p: &Phrase| p.bars.iter().rev().map(|b| b.length).collect::<Vec<_>>();
    lengths(phrase).starts_with(&lengths(tail))
}
