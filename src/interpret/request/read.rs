//! A block that is to be made, from its head and its lines.

use super::change::{Change, WORDS};
use super::faults::lines;
use super::sequence::{self, Sequence};
use super::series::{self, Series};
use crate::interpret::codes;
use crate::interpret::counting::CountingSystems;
use crate::interpret::keys::{self, KeySetting, Scope};
use crate::interpret::surroundings::Surroundings;
use crate::score::{BlockWord, Kit, Span, Spanned};
use crate::source::Diagnostics;
use crate::syntax::Piece;
use crate::syntax::tree::{self, Setting};
use std::sync::Arc;

/// Most lines that change something in one variation.
const MOST_CHANGES: usize = 64;

/// One line of a variation.
#[derive(Clone, Debug)]
pub(crate) struct ChangeRequest {
    pub(crate) change: Change,
    /// The line as written.
    pub(crate) words: String,
    pub(crate) span: Span,
}

/// What is asked for.
#[derive(Clone, Debug)]
pub(crate) enum Asked {
    /// Changes to another block, in order.
    Variation(Vec<ChangeRequest>),
    /// Blocks one after another.
    Context(Box<Sequence>),
    /// Exercises by a rule.
    Series(Box<Series>),
}

impl Asked {
    /// The names of the blocks that a context plays; of anything else none.
    pub(crate) fn plays(&self) -> Arc<[String]> {
        match self {
            Self::Context(sequence) => {
                sequence.play.iter().map(|played| played.name.value.clone()).collect()
            }
            Self::Variation(_) | Self::Series(_) => Arc::default(),
        }
    }
}

/// A block that is to be made.
#[derive(Clone, Debug)]
pub(crate) struct Request {
    pub(crate) asked: Asked,
    /// How messages name it.
    pub(crate) what: String,
    pub(crate) name: Option<String>,
    pub(crate) title: Option<String>,
    /// The block it is made from.
    pub(crate) parent: Option<Spanned<String>>,
    /// Its own keys of music.
    pub(crate) keys: Vec<KeySetting>,
    /// Its head line.
    pub(crate) span: Span,
    /// From its head to the end of its last line.
    pub(crate) whole: Span,
    /// What holds where it stands.
    pub(crate) around: Surroundings,
}

/// Reads a block that is to be made; nothing where one of its lines makes no sense.
pub(crate) fn read(
    block: &tree::Block,
    around: &Surroundings,
    diagnostics: &mut Diagnostics,
) -> Option<Request> {
    let what = what(block);
    let (asked, own) = match block.word.value {
        BlockWord::Variation => {
            let (changes, own) = changes(&what, block, &around.kit, diagnostics)?;
            (Asked::Variation(changes), own)
        }
        BlockWord::Context => {
            let (sequence, own) = sequence::read(&what, block, around, diagnostics)?;
            (Asked::Context(Box::new(sequence)), own)
        }
        BlockWord::Series => {
            let (series, own) = series::read(&what, block, &around.kit, diagnostics)?;
            (Asked::Series(Box::new(series)), own)
        }
        BlockWord::Groove
        | BlockWord::Fill
        | BlockWord::Exercise
        | BlockWord::Rudiment
        | BlockWord::Kit
        | BlockWord::Syllables
        | BlockWord::Edition => return None,
    };
    // The rows of a context tell the faults of its keys, which are theirs too.
    let has_rows = block.rows().next().is_some();
    let mut told = Diagnostics::default();
    let told = if has_rows { &mut told } else { diagnostics };
    let keys = own_keys(&what, &own, &around.systems, told)?;
    Some(Request {
        asked,
        what,
        name: block.name.as_ref().map(|name| name.value.clone()),
        title: block.title.as_ref().map(|t| around.setup.typographer.words(&t.value)),
        parent: block.parent.clone(),
        keys,
        span: block.span,
        whole: block.whole(),
        around: around.clone(),
    })
}

/// How messages name a made block.
fn what(block: &tree::Block) -> String {
    let word = block.word.value.as_str();
    let head = match &block.name {
        Some(name) => format!("{word} `{}`", name.value),
        None => word.to_owned(),
    };
    match &block.parent {
        Some(parent) if block.word.value == BlockWord::Variation => {
            format!("{head} of `{}`", parent.value)
        }
        Some(_) | None => head,
    }
}

/// The keys of any block among the lines of a made one; their faults name it.
fn own_keys(
    what: &str,
    own: &[&Setting],
    systems: &CountingSystems,
    diagnostics: &mut Diagnostics,
) -> Option<Vec<KeySetting>> {
    let own: Vec<Setting> = own.iter().map(|s| (*s).clone()).collect();
    let mut reported = Diagnostics::default();
    let lines = keys::read(&own, Scope::Block, systems, &mut reported);
    for found in reported.sorted() {
        let fault = diagnostics.error(found.span, format!("{what}: {}", found.message));
        fault.code(found.code);
        (fault.mend, fault.edit) = (found.mend.clone(), found.edit.clone());
    }
    (!reported.has_errors()).then_some(lines)
}

/// The changes of a variation in the written order, and its other lines.
fn changes<'b>(
    what: &str,
    block: &'b tree::Block,
    kit: &Kit,
    diagnostics: &mut Diagnostics,
) -> Option<(Vec<ChangeRequest>, Vec<&'b Setting>)> {
    let mut changes = Vec::new();
    let own = lines(what, block, &WORDS, diagnostics, |key, setting| {
        Some(Change::read(key, Piece::from(&setting.value), kit)?.map(|change| {
            changes.push(ChangeRequest {
                change,
                words: format!("{}: {}", setting.key.value, setting.value.value),
                span: setting.key.span.join(setting.value.span),
            });
        }))
    });
    if changes.len() > MOST_CHANGES {
        diagnostics
            .error(block.span, format!("{what}: more than {MOST_CHANGES} lines change something"))
            .code(codes::CHANGES_TOO_MANY)
            .mend("make a variation of a variation");
        return None;
    }
    Some((changes, own?))
}
