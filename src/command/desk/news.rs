//! What happened beside the page: a file that another program changed.

use serde::Serialize;

/// Something that happened.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct News {
    /// How many things happened so far.
    pub turn: u64,
    /// Whether the file itself was changed, and not only one that it includes.
    pub file: bool,
    /// Whether the file is gone.
    pub gone: bool,
    /// Whether the file was gone and is there again as it was.
    pub back: bool,
    /// Whether the file has the text.
    pub saved: bool,
}
