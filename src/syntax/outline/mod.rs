//! A file from its lines: header, headings, prose and blocks.

mod block;
mod cursor;
mod header;
mod prose;
mod read;
mod sets;

pub use read::read;
