//! One of the files of a source.

use crate::score::Span;

/// One file of a source.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct FileId(pub usize);

impl FileId {
    /// The file a source starts with.
    pub const MAIN: Self = Self(0);
}

/// A file's place in the joined text.
#[derive(Clone, Debug)]
pub(super) struct File {
    pub(super) name: String,
    pub(super) span: Span,
}

/// What a file named in an `include` line came to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Included {
    /// It is part of the source.
    File(FileId),
    /// It is not, and why: one sentence, and the mend.
    Refused(String, String),
}
