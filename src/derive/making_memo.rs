//! Blocks that were made before.

use super::complete_again::LastScore;
use super::made::{MadeBlocks, MadeWritten};
use super::mentions::MentionsMemo;
use crate::interpret::request::Request;
use crate::interpret::written::WrittenBlock;
use crate::memo::Memo;
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
