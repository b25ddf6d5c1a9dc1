//! EPUB 3.3: a text as a book for screens of any size. Each chapter is an XHTML file; music is SVG in it,
//! engraved for a narrow and a wide screen, each read aloud by its label; the letters in use are fonts of
//! the book. The same text comes to the same bytes.

mod archive;
mod book;
mod chapter;
mod contents;
mod identifier;
mod package;
mod xhtml;

pub use book::write;
