//! Text to tree, and tree back to text.
//!
//! `grammar/flamacue.pest` is the one definition of the syntax. Its entries match every text and
//! name what makes no sense, so that all faults of a file are reported in one run; brackets are
//! paired and bounded here, without recursion. Rows of plain hits are read without it, to the same end.

pub(crate) mod address;
mod cells;
pub mod codes;
mod count;
mod edited_file;
mod file;
mod flush;
mod format;
mod gather;
mod grace;
mod grammar;
mod head;
mod heading;
mod hit;
mod hits;
mod item;
pub mod limits;
mod lines;
mod outline;
mod parse;
mod plain_cells;
mod plain_head;
mod prose;
mod row;
mod rows;
mod signs;
mod spaces;
mod splits;
mod sticks;
mod tables;
pub mod tree;
pub mod values;
mod words;
pub mod written;

pub use edited_file::EditedFile;
pub use file::{Change, FileTree};
pub use format::format;
pub use gather::{GatheredFile, IncludedNames, gather, gather_known, gather_pictures};
pub use grammar::Piece;
pub(crate) use lines::comment_of_line;
#[cfg(test)]
pub(crate) use outline::is_header_key;
pub(crate) use outline::lines_of_code;
pub use parse::{FileItems, join, parse};
