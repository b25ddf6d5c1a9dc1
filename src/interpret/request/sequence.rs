//! The lines of a context: which blocks are played, how often, and how they end.

use super::faults::unknown;
use crate::interpret::{codes, keys};
use crate::score::Span;
use crate::source::Diagnostics;
use crate::syntax::Piece;
use crate::syntax::tree::{self, Setting};
pub(crate) use crate::syntax::values::sequence::PlayedBlock;
use crate::syntax::values::sequence::played;

/// Words a context knows beside the keys of any block.
const WORDS: [&str; 2] = ["play", "endings"];
/// What may be written after `play:`.
const HELP: &str = "write block names with commas between them, as `play: loft x3, crumbs`, `play: loft 3 times` or `play: loft x4 ending crumbs`";

/// Different ends for what is repeated.
#[derive(Clone, Debug)]
pub(crate) struct Ending {
    pub(crate) pieces: Vec<PlayedBlock>,
    pub(crate) span: Span,
}

/// What a context asks for.
#[derive(Clone, Debug)]
pub(crate) struct Sequence {
    pub(crate) play: Vec<PlayedBlock>,
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
                .error(setting.key.span, format!("{what}: `{key}` is written twice"))
                .code(codes::LINE_TWICE)
                .mend("write one line, with commas between the blocks");
            good = false;
        }
    }
    let Some(play) = play else {
        diagnostics
            .error(block.span, format!("{what}: it does not say what is played"))
            .code(codes::CONTEXT_EMPTY)
            .mend(HELP);
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
fn pieces(
    what: &str,
    setting: &Setting,
    diagnostics: &mut Diagnostics,
) -> Option<Vec<PlayedBlock>> {
    match played(Piece::from(&setting.value)) {
        Ok(played) => Some(played),
        Err(span) => {
            diagnostics
                .error(span, format!("{what}: this does not say which block is played how often"))
                .code(codes::CONTEXT_BLOCKS)
                .mend(HELP);
            None
        }
    }
}
