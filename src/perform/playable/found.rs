//! What can't be played.

use crate::score::Span;

/// Something that can't be played.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Found {
    pub(super) span: Span,
    pub(super) message: String,
    pub(super) mend: String,
}
