//! What can't be played.

use crate::score::Span;
use crate::source::Code;

/// Something that can't be played.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Found {
    pub(super) code: Code,
    pub(super) span: Span,
    pub(super) message: String,
    pub(super) mend: String,
}
