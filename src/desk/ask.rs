//! What is asked of a text.

use serde::Deserialize;

/// What a page asks.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(tag = "ask", rename_all = "lowercase")]
pub enum Ask {
    /// The text and everything about it.
    Open,
    /// The same of the file as it is on the disk.
    Reread,
    /// Another text in place of the one that is there.
    Text {
        /// It.
        text: String,
    },
    /// What the text came to, after something beside it changed, or of other pages.
    Look {
        /// What is seen.
        #[serde(flatten)]
        seen: Seen,
    },
    /// Changes of the text, one after another, and what it comes to then.
    Edit {
        /// They.
        edits: Vec<Edit>,
        /// How long the text is afterwards, in code units of UTF-16: where it is not, the page and the
        /// holder do not have the same text.
        length: usize,
        /// What is seen.
        #[serde(flatten)]
        seen: Seen,
    },
    /// A page as SVG.
    Page {
        /// Its index.
        page: usize,
    },
    /// The colours of a range.
    Tokens {
        /// Where it starts.
        from: usize,
        /// Where it ends.
        to: usize,
    },
    /// How a word may go on.
    Complete {
        /// Where it ends.
        at: usize,
    },
    /// What stands at a place, in words, and on which page.
    Explain {
        /// The place.
        at: usize,
    },
    /// The changes that set the text in columns.
    Tidy,
}

/// A change: a text in place of a range.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
pub struct Edit {
    /// Where the range starts, in code units of UTF-16.
    pub from: usize,
    /// Where it ends.
    pub to: usize,
    /// What stands there afterwards.
    pub text: String,
}

/// What is seen on the screen, and is wanted at once.
#[derive(Clone, Debug, Default, PartialEq, Eq, Deserialize)]
pub struct Seen {
    /// Where the visible text starts.
    #[serde(default)]
    pub from: usize,
    /// Where it ends.
    #[serde(default)]
    pub to: usize,
    /// Pages, by index.
    #[serde(default)]
    pub near: Vec<usize>,
}

/// What is to be heard: the block that holds a place.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct Hear {
    /// The place, in code units of UTF-16.
    pub at: usize,
    /// Of a series the exercise that is known to a reader by these words; all of them where nothing is said or none
    /// is.
    #[serde(default)]
    pub exercise: Option<String>,
    /// How many times as fast as it is written, from 0.1 to 4.
    pub factor: f64,
    /// Whether beats click.
    pub click: bool,
    /// Whether a bar is counted in.
    pub count: bool,
    /// How often it is played, from 1 to 8.
    pub times: u32,
}
