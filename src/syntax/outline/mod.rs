//! A file from its lines: header, headings, prose and blocks.

mod block;
mod block_lines;
mod cursor;
mod header;
mod prose;
mod read;
mod sets;

pub use read::read;
