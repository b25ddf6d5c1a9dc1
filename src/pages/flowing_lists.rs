//! What the contents and the index of a page without pages list.

/// A line of the contents.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ContentsEntry {
    /// 0 for a part, 1 or 2 for a heading, 3 for an exercise.
    pub level: u8,
    /// Its words.
    pub words: String,
    /// The place it leads to.
    pub to: String,
}

/// A list of the index.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FlowingIndex {
    /// Its place.
    pub id: String,
    /// What stands over it.
    pub title: &'static str,
    /// Its entries: the words, and the label and the place of each block.
    pub entries: Vec<(String, Vec<(String, String)>)>,
}
