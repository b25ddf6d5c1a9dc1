//! Blocks that were made before.

use super::complete_again::LastScore;
use super::library::{AskedFor, Known};
use super::mentions::MentionsMemo;
use crate::interpret::request::Request;
use crate::interpret::written::WrittenBlock;
use crate::memo::Memo;
use crate::score::Block;
use crate::source::Diagnostics;
use std::sync::Arc;

/// What written blocks and requests came to. By default it keeps nothing.
#[derive(Debug, Default)]
pub struct MakingMemo {
    pub(super) written: Memo<WrittenBlock, MadeWritten>,
    /// With what each was made from.
    pub(super) requests: Memo<Request, Arc<MadeBlocks>>,
    pub(super) mentions: MentionsMemo,
    /// What came of all of them last.
    pub(super) last: Option<LastScore>,
    /// Whether all of it was made this time.
    pub(super) all: bool,
}

/// What a written block came to.
#[derive(Clone, Debug)]
pub(super) struct MadeWritten {
    pub(super) made: MadeBlock,
    /// What was found in it, if anything.
    pub(super) found: Option<Arc<Diagnostics>>,
}

/// What a request came to.
#[derive(Debug, Default)]
pub(super) struct MadeBlocks {
    /// The blocks, and what others can make from those with a name.
    pub(super) blocks: Vec<MadeBlock>,
    /// The block whose number and title they have.
    pub(super) carried: Option<Arc<Known>>,
    /// What was found in them.
    pub(super) found: Diagnostics,
    /// The blocks they were made from.
    pub(super) asked: Vec<AskedFor>,
    /// How many signs of the budget they take.
    pub(super) signs: u64,
}

/// A block, and what others can make from it where it has a name.
#[derive(Clone, Debug)]
pub(super) struct MadeBlock {
    pub(super) block: Arc<Block>,
    pub(super) known: Option<Arc<Known>>,
    /// It is printed in a context, and not here.
    pub(super) waits: bool,
}

impl MakingMemo {
    /// One that keeps what is made.
    #[must_use]
    pub fn keeping() -> Self {
        Self {
            written: Memo::keeping(),
            requests: Memo::keeping(),
            mentions: MentionsMemo::keeping(),
            last: None,
            all: false,
        }
    }

    /// Forgets what was not asked for since this was called before.
    pub fn end_turn(&mut self) {
        if std::mem::take(&mut self.all) {
            self.written.end_turn();
            self.requests.end_turn();
        }
    }
}
