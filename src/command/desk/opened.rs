//! What is answered beside what the desk answers.

use flamacue::desk::Look;
use serde::Serialize;

/// A text that was opened.
#[derive(Debug, Serialize)]
pub struct Opened {
    /// The name of its file.
    pub name: String,
    /// Where the file is: what the page keeps for it, it keeps under that.
    pub path: String,
    /// The text.
    pub text: String,
    /// Whether the file has it.
    pub saved: bool,
    /// What it came to.
    #[serde(flatten)]
    pub look: Look,
}

/// That the page and the program do not have the same text.
#[derive(Debug, Serialize)]
pub struct Lost {
    /// Always so.
    pub lost: bool,
}

/// What became of a text that was to be saved.
#[derive(Debug, Default, Serialize)]
pub struct Saved {
    /// Whether the file has it.
    pub saved: bool,
    /// Whether the file was changed by another program since it was read, and was left alone.
    pub changed: bool,
    /// Why it was not written.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub why: Option<String>,
}

/// Why something was not made.
#[derive(Debug, Serialize)]
pub struct Refused {
    /// In words.
    pub why: String,
}
