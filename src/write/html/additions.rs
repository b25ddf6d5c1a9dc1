//! What a page has beside a text.

use std::collections::BTreeMap;

/// What a page has beside a text, all of it HTML.
#[derive(Clone, Debug, Default)]
pub(in crate::write) struct Additions {
    /// In its head, before its styles.
    pub head: String,
    /// The end of its style sheet.
    pub style: String,
    /// After its title.
    pub lead: String,
    /// In the figure of a block, by its index among the items of the score.
    pub in_figures: BTreeMap<usize, String>,
    /// After its body.
    pub end: String,
    /// After all that is seen; no words that are read.
    pub script: String,
}
