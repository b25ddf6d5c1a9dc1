//! Prose as CommonMark, with its places kept: paragraphs, lists, quotes, tables, footnotes and what
//! stands in their lines, and the blocks of music they refer to.
//!
//! Which lines are prose the outline says; here they are read by a library of CommonMark.

mod blocks;
mod mentions;
mod reader;
mod table;
mod text;
mod words;

pub use blocks::read;
pub use text::ProseText;
pub use words::heading;
