//! A file from its lines: header, headings, prose and blocks, a stretch of lines each.

mod block;
mod cursor;
mod header;
mod prose;
mod read;
mod sets;
mod stretch;

#[cfg(test)]
pub use header::is_header_key;
pub(crate) use read::lines_of_code;
pub use read::{outline, outline_body};
pub use stretch::{OutlinedStretch, Stretch};
