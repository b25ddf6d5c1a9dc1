//! What became of a text that was to be saved.

use serde::Serialize;

/// What became of a text that was to be saved.
#[derive(Debug, Default, Serialize)]
pub struct Saved {
    /// Whether the file has it.
    pub saved: bool,
    /// Whether the file was changed by another program since it was read, and was left alone.
    pub changed: bool,
    /// Whether the file is gone, which is such a change.
    pub gone: bool,
    /// Why it was not written.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub why: Option<String>,
}
