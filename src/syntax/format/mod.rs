//! Tree back to text: rows aligned in columns, everything else tidied.
//!
//! The words of prose, the signs of every group and the comments stay as they were written; only
//! white space changes. So the tree stays the same, and formatting twice changes nothing more.

mod columns;
mod file;
mod letters;
mod line;
mod tokens;

pub use file::format;
