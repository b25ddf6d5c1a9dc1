//! What a file means before anything is made from anything.

use super::keys::KeySetting;
use super::request::Request;
use crate::score::kit::{InstrumentId, Limb};
use crate::score::settings::StickRule;
use crate::score::{Block, Header, Item, Placed, Span, Time};
use std::ops::Range;
use std::sync::Arc;

/// A whole file, read.
#[derive(Clone, Debug, Default)]
pub struct Reading {
    /// What the header says.
    pub header: Header,
    /// Headings, prose and music in order.
    pub(crate) parts: Vec<ReadingPart>,
    /// The names of all blocks in lower case, so that one further down can be pointed at.
    pub(crate) names: Vec<String>,
}

/// A piece of the body.
#[derive(Clone, Debug)]
pub(crate) enum ReadingPart {
    /// A heading or prose.
    Prose(Item),
    /// Music that is written.
    Written(Placed<WrittenBlock>),
    /// Music that is to be made.
    Request(Placed<Request>),
}

/// A block that is written.
#[derive(Clone, Debug)]
pub(crate) struct WrittenBlock {
    /// Its music, without number and without letters that are made.
    pub(crate) block: Arc<Block>,
    /// Its own keys, but for the rule of its sticking.
    pub(crate) keys: Vec<KeySetting>,
    /// The keys under the name of each player, where it names players.
    pub(crate) players: Vec<Vec<KeySetting>>,
    /// Letters that are to be made for each player.
    pub(crate) sticking: Vec<Option<StickRequest>>,
}

/// Letters to be made by a rule.
#[derive(Clone, Debug)]
pub(crate) struct StickRequest {
    pub(crate) rule: StickRule,
    /// The block asks for them itself.
    pub(crate) asked_here: bool,
    /// The head line of the block.
    pub(crate) span: Span,
    /// Its sets of rows.
    pub(crate) sets: Vec<SetOfRows>,
    /// What a row gives to the other limb than the kit does, by time.
    pub(crate) crossed: Vec<CrossedStrike>,
}

/// A strike in a `hands` or `feet` row that the kit gives to the other limb.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct CrossedStrike {
    pub(crate) bar: usize,
    /// From the start of its bar.
    pub(crate) at: Time,
    pub(crate) instrument: InstrumentId,
    /// The limb that plays it here.
    pub(crate) limb: Limb,
}

/// A set of rows: its bars, and what is written of a sticking.
#[derive(Clone, Debug)]
pub(crate) struct SetOfRows {
    pub(crate) bars: Range<usize>,
    /// It has a `stick` row.
    pub(crate) written: bool,
    /// The line that asks for a rule.
    pub(crate) asked: Option<Span>,
    /// The end of its last row.
    pub(crate) end: Option<usize>,
}
