//! What written blocks and requests came to.

use super::library::{AskedFor, Known};
use crate::score::Block;
use crate::source::Diagnostics;
use std::sync::Arc;

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
