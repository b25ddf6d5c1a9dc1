//! Who writes lines of music before their pages are known.

use super::mark::Node;
use super::written::WrittenInk;

/// Writes lines of music for a file as soon as they are set, so that nobody needs to keep their marks.
pub trait LineWriter: Sync {
    /// The marks of a line, whose unit is so many points. They come to the same wherever the line is shown.
    fn write(&self, marks: &[Node], unit: f64) -> WrittenInk;
}
