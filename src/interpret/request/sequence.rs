//! The lines of a context: which blocks are played, how often, how they come in and how they end.

use super::change::instruments;
use super::faults::{no_value, unknown};
use crate::interpret::surroundings::Surroundings;
use crate::interpret::written::WrittenBlock;
use crate::interpret::{blocks, codes, keys};
use crate::score::kit::InstrumentId;
use crate::score::{BlockWord, Kit, Span, Spanned};
use crate::source::Diagnostics;
use crate::syntax::Piece;
use crate::syntax::tree::{self, RowSet, Setting};
pub(crate) use crate::syntax::values::sequence::EntryPlace;
use crate::syntax::values::sequence::{self, going_on};
use std::sync::Arc;

/// Words a context knows beside the keys of any block.
pub(crate) const WORDS: [&str; 4] = ["play", "endings", "from", "over"];
/// What may be written after `play:`.
const HELP: &str = "write block names with commas between them, as `play: loft x3, crumbs`, `play: loft 3 times`, `play: loft x4 ending crumbs` or `play: loft x3, crumbs from 2 & over kick`";
/// What may be written after `from:`.
const FROM: &str = "write one place as it is counted, as `from: 3`, `from: 2 &` or `from: e of 2`";

/// How music comes in after what was played before it.
#[derive(Clone, Debug, Default)]
pub(crate) struct Entry {
    /// Up to here what was played before goes on; at the start where nothing is said.
    pub(crate) from: Option<EntryPlace>,
    /// The instruments that go on under it.
    pub(crate) over: Vec<InstrumentId>,
}

/// A block that is played.
#[derive(Clone, Debug)]
pub(crate) struct PlayedBlock {
    pub(crate) name: Spanned<String>,
    /// How often, 1 to 99.
    pub(crate) times: usize,
    /// The block that stands in the place of the last bars of the last time.
    pub(crate) ending: Option<Spanned<String>>,
    /// How what is named last of these comes in.
    pub(crate) entry: Entry,
}

/// Different ends for what is repeated.
#[derive(Clone, Debug)]
pub(crate) struct Ending {
    pub(crate) pieces: Vec<PlayedBlock>,
    pub(crate) span: Span,
}

/// A fill in the rows of a context.
#[derive(Clone, Debug)]
pub(crate) struct OwnRows {
    pub(crate) written: Arc<WrittenBlock>,
    pub(crate) entry: Entry,
    /// Where its rows stand.
    pub(crate) span: Span,
}

/// What a context asks for.
#[derive(Clone, Debug)]
pub(crate) struct Sequence {
    pub(crate) play: Vec<PlayedBlock>,
    pub(crate) endings: Option<Ending>,
    /// What is played after it, and in place of endings.
    pub(crate) own: Option<OwnRows>,
}

/// The lines of a context by their words.
#[derive(Default)]
struct Lines<'b> {
    play: Option<&'b Setting>,
    endings: Option<&'b Setting>,
    from: Option<&'b Setting>,
    over: Option<&'b Setting>,
    /// Keys of any block.
    own: Vec<&'b Setting>,
}

/// Reads the lines of a context; the keys of any block among them come back too.
pub(super) fn read<'b>(
    what: &str,
    block: &'b tree::Block,
    around: &Surroundings,
    diagnostics: &mut Diagnostics,
) -> Option<(Sequence, Vec<&'b Setting>)> {
    let (lines, mut good) = lines(what, block, diagnostics);
    let kit = &around.kit;
    let Some(play) = lines.play else {
        diagnostics
            .error(block.span, format!("{what}: it does not say what is played"))
            .code(codes::CONTEXT_EMPTY)
            .mend(HELP);
        return None;
    };
    let play = pieces(what, play, kit, diagnostics);
    let endings = match lines.endings {
        None => None,
        Some(line) => {
            Some(Ending { pieces: pieces(what, line, kit, diagnostics)?, span: line.value.span })
        }
    };
    let entry = entry(what, &lines, kit, diagnostics);
    let own = rows(block, around, diagnostics);
    let needless = lines.from.or(lines.over).filter(|_| own.is_none()).map(|line| {
        let mend = "write the place in the line that plays the fill, as `play: loft x3, crumbs from 2 &`, or rows under it";
        ("it has no rows that could come in there", line.key.span, mend)
    });
    let both = lines.endings.filter(|_| own.is_some()).map(|line| {
        let mend = "give the fill a block of its own, and name it among the endings";
        ("it has rows of its own, and endings", line.key.span, mend)
    });
    for (message, span, mend) in needless.into_iter().chain(both) {
        good = false;
        let fault = diagnostics.error(span, format!("{what}: {message}"));
        fault.code(codes::CONTEXT_ROWS).mend(mend);
    }
    let own = match own {
        None => None,
        Some((written, span)) => Some(OwnRows { written, entry: entry?, span }),
    };
    good.then_some((Sequence { play: play?, endings, own }, lines.own))
}

/// Each line by its word; whether all are known and none is written twice.
fn lines<'b>(
    what: &str,
    block: &'b tree::Block,
    diagnostics: &mut Diagnostics,
) -> (Lines<'b>, bool) {
    let (mut lines, mut good) = (Lines::default(), true);
    for setting in block.sets.iter().take(1).flat_map(|s| &s.settings) {
        let key = setting.key.value.to_lowercase();
        let place = match key.as_str() {
            "play" => &mut lines.play,
            "endings" => &mut lines.endings,
            "from" => &mut lines.from,
            "over" => &mut lines.over,
            _ if keys::is_block_key(&key) => {
                lines.own.push(setting);
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
                .error(setting.key.span, format!("{what}: `{key}` is written twice"))
                .code(codes::LINE_TWICE)
                .mend("write one line, with commas between the blocks");
            good = false;
        }
    }
    (lines, good)
}

/// The fill in the rows of a context, and where it stands.
fn rows(
    block: &tree::Block,
    around: &Surroundings,
    diagnostics: &mut Diagnostics,
) -> Option<(Arc<WrittenBlock>, Span)> {
    let all = block.rows();
    let span = all.map(|row| row.name.span).reduce(Span::join)?;
    let is_own = |setting: &Setting| {
        let key = setting.key.value.to_lowercase();
        keys::is_block_key(&key)
    };
    let sets = block.sets.iter().enumerate().map(|(index, set)| RowSet {
        settings: match index {
            0 => set.settings.iter().filter(|s| is_own(s)).cloned().collect(),
            _ => set.settings.clone(),
        },
        ..set.clone()
    });
    let word = Spanned { value: BlockWord::Fill, span: block.word.span };
    let fill = tree::Block { word, sets: sets.collect(), ..block.clone() };
    let written = blocks::block(&fill, around, diagnostics);
    Some((Arc::new(written), span))
}

/// How the rows come in.
fn entry(what: &str, lines: &Lines<'_>, kit: &Kit, diagnostics: &mut Diagnostics) -> Option<Entry> {
    let mut entry = Entry::default();
    let mut good = true;
    if let Some(line) = lines.from {
        entry.from = EntryPlace::read(Piece::from(&line.value));
        if entry.from.is_none() {
            good = false;
            no_value(what, line, FROM.into(), diagnostics);
        }
    }
    if let Some(line) = lines.over {
        match instruments(&going_on(Piece::from(&line.value)), kit) {
            Ok(over) => entry.over = over,
            Err(wrong) => {
                good = false;
                no_value(what, line, wrong, diagnostics);
            }
        }
    }
    good.then_some(entry)
}

/// The blocks a line names.
fn pieces(
    what: &str,
    setting: &Setting,
    kit: &Kit,
    diagnostics: &mut Diagnostics,
) -> Option<Vec<PlayedBlock>> {
    let played = match sequence::played(Piece::from(&setting.value)) {
        Ok(played) => played,
        Err(span) => {
            diagnostics
                .error(span, format!("{what}: this does not say which block is played how often"))
                .code(codes::CONTEXT_BLOCKS)
                .mend(HELP);
            return None;
        }
    };
    let mut pieces = Vec::with_capacity(played.len());
    for sequence::PlayedBlock { name, times, ending, from, over } in played {
        let going_on = if over.is_empty() { Ok(Vec::new()) } else { instruments(&over, kit) };
        match going_on {
            Ok(over) => {
                pieces.push(PlayedBlock { name, times, ending, entry: Entry { from, over } })
            }
            Err(wrong) => {
                no_value(what, setting, wrong, diagnostics);
                return None;
            }
        }
    }
    Some(pieces)
}
