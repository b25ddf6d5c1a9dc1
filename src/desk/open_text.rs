//! A text that is written on the desk, wherever it lies.

use crate::assist::Finding;
use crate::session::Session;
use std::ops::Range;

/// A text that is written on the desk: a file of this machine, or one that the page keeps.
pub trait OpenText {
    /// The name of its file, as a person knows it.
    fn name(&self) -> String;

    /// What tells it from other texts: where its file lies, if that is known.
    fn path(&self) -> String;

    /// The text as it is.
    fn text(&self) -> &str;

    /// Puts a text in place of a range of bytes.
    fn edit(&mut self, range: Range<usize>, text: &str);

    /// Takes the text from its file, which another program may have changed. It stays where there is none.
    fn reread(&mut self);

    /// Whether its file holds the text as it is.
    fn is_saved(&self) -> bool;

    /// Makes of the text what it comes to: the pages that came to look different since this was last done.
    fn update(&mut self) -> Vec<usize>;

    /// What it stays in memory as.
    fn session(&self) -> &Session;

    /// What is wrong with it, as it was when it was updated.
    fn findings(&self) -> &[Finding];

    /// Whether the pages are those of the text as it was when it was updated; where it has an error, they are
    /// those of the text when it was last without one.
    fn good(&self) -> bool;
}
