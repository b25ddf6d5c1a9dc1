//! The lines of a context: which blocks are played, how often, and how they end.

use super::change::small;
use super::read::unknown;
use crate::interpret::keys;
use crate::score::{Span, Spanned};
use crate::source::Diagnostics;
use crate::syntax::tree::{self, Setting};

/// Words a context knows beside the keys of any block.
const WORDS: [&str; 2] = ["play", "endings"];
/// What may be written after `play:`.
const HELP: &str = "write block names with commas between them, as `play: loft x3, crumbs` or `play: loft x4 ending crumbs`";

type Word = Spanned<String>;

/// One piece of a sequence.
#[derive(Clone, Debug)]
pub(crate) struct Piece {
    /// The name of a block.
    pub(crate) name: Word,
    /// How often it is played, at least once.
    pub(crate) times: usize,
    /// The block that stands in the place of the last bars of the last time.
    pub(crate) ending: Option<Word>,
}

/// Different ends for what is repeated.
#[derive(Clone, Debug)]
pub(crate) struct Ending {
    pub(crate) pieces: Vec<Piece>,
    pub(crate) span: Span,
}

/// What a context asks for.
#[derive(Clone, Debug)]
pub(crate) struct Sequence {
    pub(crate) play: Vec<Piece>,
    pub(crate) endings: Option<Ending>,
}

/// Reads the lines of a context; the keys of any block among them come back too.
pub(super) fn read<'b>(
    what: &str,
    block: &'b tree::Block,
    diagnostics: &mut Diagnostics,
) -> Option<(Sequence, Vec<&'b Setting>)> {
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
                unknown(what, setting, &WORDS, diagnostics);
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
        diagnostics.error(block.span, format!("{what}: it does not say what is played")).mend(HELP);
        return None;
    };
    let play = pieces(what, play, diagnostics);
    let endings = match endings {
        None => None,
        Some(line) => {
            Some(Ending { pieces: pieces(what, line, diagnostics)?, span: line.value.span })
        }
    };
    good.then_some((Sequence { play: play?, endings }, own))
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
