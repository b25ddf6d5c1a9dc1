//! Contexts: blocks one after another, as a fill after three bars of its groove.

use crate::derive::hands;
use crate::derive::hands::StickRule;
use crate::derive::made::{Known, Made, Maker, Plain, reach, unknown};
use crate::derive::variation::change::small;
use crate::derive::variation::phrase::Phrase;
use crate::derive::variation::write::signature;
use crate::interpret::keys;
use crate::score::BlockWord;
use crate::score::Closing;
use crate::source::say;
use crate::source::{Diagnostics, Span};
use crate::syntax::tree;
use crate::syntax::tree::{Setting, Word};

/// Words a context knows beside the keys of any block.
const WORDS: [&str; 2] = ["play", "endings"];
/// Most bars of a context.
const MOST_BARS: usize = 256;
/// What may be written after `play:`.
const HELP: &str = "write block names with commas between them, as `play: loft x3, crumbs` or `play: loft x4 ending crumbs`";

/// One piece of a sequence.
struct Piece {
    name: Word,
    times: usize,
    /// What stands in the place of the last bars of the last time.
    ending: Option<Word>,
}

/// Music put together so far, and how.
struct Sequence {
    phrase: Phrase,
    steps: Vec<String>,
    /// The last block that was put in.
    last: Option<Known>,
    first: Option<Known>,
}

impl Maker<'_> {
    /// A context in plain rows.
    pub(crate) fn context(
        &self,
        block: &tree::Block,
        diagnostics: &mut Diagnostics,
    ) -> Option<Made> {
        let what = match &block.name {
            Some(name) => format!("context `{}`", name.value),
            None => "context".to_owned(),
        };
        let mut own = Vec::new();
        let (mut play, mut endings) = (None, None);
        let mut good = true;
        for setting in block.sets.iter().flat_map(|s| &s.settings) {
            let key = setting.key.value.to_lowercase();
            let place = match key.as_str() {
                "play" => &mut play,
                "endings" => &mut endings,
                _ if keys::is_block_key(&key) => {
                    own.push(setting);
                    continue;
                }
                _ => {
                    unknown(&what, setting, &WORDS, diagnostics);
                    good = false;
                    continue;
                }
            };
            if place.replace(setting).is_some() {
                diagnostics
                    .error(setting.key.span, format!("{what}: `{key}` is said twice"))
                    .mend("write one line, with commas between the blocks");
                good = false;
            }
        }
        let Some(play) = play else {
            diagnostics
                .error(block.span, format!("{what}: it does not say what is played"))
                .mend(HELP);
            return None;
        };
        let mut all =
            Sequence { phrase: Phrase::empty(), steps: Vec::new(), last: None, first: None };
        for piece in pieces(&what, play, diagnostics)? {
            self.add(&what, &piece, &mut all, diagnostics)?;
        }
        if let Some(endings) = endings {
            self.endings(&what, endings, &mut all, diagnostics)?;
        }
        if !good {
            return None;
        }
        let (first, last) = (all.first?, all.last?);
        let mut keys = self.keys(&what, &first, &own, diagnostics)?;
        let said = |key: &str| own.iter().any(|s| s.key.value.eq_ignore_ascii_case(key));
        let rule = own.iter().rev().find(|s| s.key.value.eq_ignore_ascii_case("stick"));
        let rule = rule.and_then(|s| StickRule::read(&s.value.value).ok().flatten());
        keys.retain(|(key, _)| key != "stick");
        if let Some(rule) = rule {
            hands::stick(&mut all.phrase, self.kit(), rule);
            all.steps.push(format!("`stick: {}`: {}", rule.words(), rule.told()));
        }
        let feet = all.phrase.notes.iter().any(|n| n.limb == crate::score::kit::Limb::Feet);
        if !said("voices") {
            keys.retain(|(key, _)| key != "voices");
            if all.phrase.by_bar {
                keys.push(("voices".to_owned(), "by bar".to_owned()));
            } else if feet && !all.phrase.apart {
                keys.push(("voices".to_owned(), "one".to_owned()));
            }
        }
        let rests = first.block.settings.rests;
        let rows = self.rows(&what, &all.phrase, rests, block.span, diagnostics)?;
        all.steps.extend(rows.iter().map(|row| format!("    {row}")));
        let title = block.title.as_ref().map(|t| t.value.clone());
        let plain = Plain {
            word: BlockWord::Groove,
            name: block.name.as_ref().map(|n| n.value.clone()),
            title: title.or(last.title.as_ref().map(|t| format!("{t}, in context"))),
            keys,
            rows,
        };
        Some(Made::new(reach(block), all.steps, plain))
    }

    fn add(
        &self,
        what: &str,
        piece: &Piece,
        all: &mut Sequence,
        diagnostics: &mut Diagnostics,
    ) -> Option<()> {
        let known = self.known(what, &piece.name, diagnostics)?;
        let span = piece.name.span;
        let phrase = self.phrase(what, known, span, diagnostics)?;
        self.join(what, known, &phrase, span, all, diagnostics)?;
        let alike = phrase.bars.len() == 1 && phrase.bars[0].closing == Closing::Single;
        let from = all.phrase.bars.len() + 1;
        for time in 0..piece.times {
            let before = all.phrase.bars.len();
            match &piece.ending {
                Some(ending) if time + 1 == piece.times => {
                    let end = self.known(what, ending, diagnostics)?;
                    let tail = self.phrase(what, end, ending.span, diagnostics)?;
                    let count = tail.bars.len();
                    if !replaces(&phrase, &tail) {
                        diagnostics
                            .error(
                                ending.span,
                                format!(
                                    "{what}: `{}` does not fit in place of the last {}of `{}`",
                                    end.name,
                                    match count {
                                        1 => "bar ".to_owned(),
                                        n => format!("{} bars ", say::number(n)),
                                    },
                                    known.name
                                ),
                            )
                            .mend("an ending has no more bars than the block, of the same length");
                        return None;
                    }
                    all.phrase.append(&phrase.without_last(count));
                    all.phrase.append(&tail);
                    all.last = Some(end.clone());
                }
                _ => {
                    all.phrase.append(&phrase);
                    all.last = Some(known.clone());
                    // A bar that is played again is written as a repeat of the bar before.
                    if time > 0 && alike {
                        all.phrase.bars[before].same = true;
                    }
                }
            }
            if all.phrase.bars.len() > MOST_BARS {
                diagnostics
                    .error(span, format!("{what}: it comes to more than {MOST_BARS} bars"))
                    .mend("play its blocks fewer times");
                return None;
            }
        }
        let to = all.phrase.bars.len();
        let bars = if from == to { format!("bar {from}") } else { format!("bars {from} to {to}") };
        let ending = piece
            .ending
            .as_ref()
            .map(|e| format!(", its end replaced by `{}`", e.value))
            .unwrap_or_default();
        let times = match piece.times {
            1 => String::new(),
            n => format!(", {} times", say::number(n)),
        };
        all.steps.push(format!("{bars}: `{}`{times}{ending}", known.name));
        all.first.get_or_insert_with(|| known.clone());
        Some(())
    }

    /// Whether a block can follow what is there.
    fn join(
        &self,
        what: &str,
        known: &Known,
        phrase: &Phrase,
        span: Span,
        all: &mut Sequence,
        diagnostics: &mut Diagnostics,
    ) -> Option<()> {
        let Some(before) = all.phrase.bars.last().cloned() else { return Some(()) };
        let short = phrase.bars.iter().any(|b| b.length != b.meter.length());
        if short || before.length != before.meter.length() {
            let last = all.last.as_ref().map_or("", |l| l.name.as_str());
            let name = if short { known.name.as_str() } else { last };
            diagnostics
                .error(span, format!("{what}: a bar of `{name}` is short, for it has a pickup"))
                .mend("a context joins whole bars; write the pickup into a bar of its own");
            return None;
        }
        if let Some(first) = &all.first
            && first.block.settings.swing != known.block.settings.swing
        {
            diagnostics
                .warning(
                    span,
                    format!(
                        "{what}: `{}` and `{}` have not the same feel; that of `{}` is printed",
                        first.name, known.name, first.name
                    ),
                )
                .mend("give both the same `swing:`");
        }
        let meter = phrase.bars.first().map(|b| &b.meter)?;
        if **meter != *before.meter {
            all.steps.push(format!(
                "the time changes from {} to {}",
                signature(&before.meter),
                signature(meter)
            ));
        }
        Some(())
    }

    /// Different ends for what is repeated.
    fn endings(
        &self,
        what: &str,
        endings: &Setting,
        all: &mut Sequence,
        diagnostics: &mut Diagnostics,
    ) -> Option<()> {
        let found = pieces(what, endings, diagnostics)?;
        if found.len() < 2 || all.phrase.bars.iter().any(|b| b.repeat_start) {
            diagnostics
                .error(endings.value.span, format!("{what}: endings close a passage that is repeated once for each"))
                .mend("name two endings or more, as `endings: crumbs, gallop`, after blocks without repeats of their own");
            return None;
        }
        if let Some(first) = all.phrase.bars.first_mut() {
            first.repeat_start = true;
        }
        let count = found.len();
        for (index, piece) in found.into_iter().enumerate() {
            let start = all.phrase.bars.len();
            self.add(what, &piece, all, diagnostics)?;
            if let Some(bar) = all.phrase.bars.get_mut(start) {
                bar.mark = Some(format!("{}.", index + 1));
            }
            if let Some(bar) = all.phrase.bars.last_mut() {
                bar.closing = match index + 1 {
                    n if n == count => Closing::Single,
                    _ => Closing::Repeat { times: 2, counted: false },
                };
            }
        }
        Some(())
    }
}

/// Whether bars can stand in the place of the last of a phrase.
fn replaces(phrase: &Phrase, tail: &Phrase) -> bool {
    let lengths = |p: &Phrase| p.bars.iter().rev().map(|b| b.length).collect::<Vec<_>>();
    let (all, last) = (lengths(phrase), lengths(tail));
    last.len() <= all.len() && all[..last.len()] == last
}

/// The blocks a line names.
fn pieces(what: &str, setting: &Setting, diagnostics: &mut Diagnostics) -> Option<Vec<Piece>> {
    let text = setting.value.value.as_str();
    let mut found = Vec::new();
    let mut start = setting.value.span.start;
    for part in text.split(',') {
        let mut at = start;
        start += part.len() + 1;
        let mut words = Vec::new();
        for word in part.split(' ') {
            if !word.is_empty() {
                words.push(Word::new(word.to_owned(), Span::new(at, at + word.len())));
            }
            at += word.len() + 1;
        }
        match piece(&words) {
            Some(piece) => found.push(piece),
            None => {
                let span = match (words.first(), words.last()) {
                    (Some(first), Some(last)) => first.span.join(last.span),
                    _ => setting.value.span,
                };
                diagnostics
                    .error(
                        span,
                        format!("{what}: this does not say which block is played how often"),
                    )
                    .mend(HELP);
                return None;
            }
        }
    }
    Some(found)
}

fn piece(words: &[Word]) -> Option<Piece> {
    let (name, rest) = words.split_first()?;
    let mut piece = Piece { name: name.clone(), times: 1, ending: None };
    let mut rest = rest;
    if let Some((word, after)) = rest.split_first()
        && let Some(number) = word.value.strip_prefix(['x', '×'])
    {
        piece.times = number.parse().ok().filter(|n| (1..=99).contains(n))?;
        rest = after;
    } else if let [number, times, after @ ..] = rest
        && times.value == "times"
    {
        piece.times = small(&number.value)?;
        rest = after;
    }
    match rest {
        [] => Some(piece),
        [word, name] if word.value == "ending" => {
            piece.ending = Some(name.clone());
            Some(piece)
        }
        _ => None,
    }
}
