//! A block, read alone.

use super::blocks;
use super::reading::ReadingPart;
use super::request::{self, Request};
use super::surroundings::Surroundings;
use super::written::WrittenBlock;
use crate::score::{BlockWord, Placed};
use crate::source::Diagnostics;
use crate::syntax::tree;
use std::sync::Arc;

/// What a block means, wherever it stands.
#[derive(Clone, Debug)]
pub(super) struct ReadBlock {
    meaning: Option<Meaning>,
    /// What was found in it, if anything.
    found: Option<Arc<Diagnostics>>,
}

#[derive(Clone, Debug)]
enum Meaning {
    /// Music that is written.
    Written(Arc<WrittenBlock>),
    /// Music that is to be made.
    Request(Arc<Request>),
}

impl ReadBlock {
    /// Reads a block where something holds.
    pub(super) fn read(block: &tree::Block, around: &Surroundings) -> Self {
        let mut found = Diagnostics::default();
        let meaning = match block.word.value {
            BlockWord::Syllables | BlockWord::Kit | BlockWord::Edition => None,
            BlockWord::Groove | BlockWord::Fill | BlockWord::Exercise | BlockWord::Rudiment => {
                Some(Meaning::Written(Arc::new(blocks::block(block, around, &mut found))))
            }
            BlockWord::Variation | BlockWord::Context | BlockWord::Series => {
                let request = request::read(block, around, &mut found);
                request.map(|request| Meaning::Request(Arc::new(request)))
            }
        };
        let found = (!found.is_empty()).then(|| Arc::new(found));
        Self { meaning, found }
    }

    /// What was found in it, if anything.
    pub(super) fn found(&self) -> Option<&Arc<Diagnostics>> {
        self.found.as_ref()
    }

    /// What it means where it starts at a byte.
    pub(super) fn placed(&self, at: usize) -> Option<ReadingPart> {
        Some(match self.meaning.clone()? {
            Meaning::Written(value) => ReadingPart::Written(Placed { value, at }),
            Meaning::Request(value) => ReadingPart::Request(Placed { value, at }),
        })
    }
}
