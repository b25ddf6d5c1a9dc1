//! PDF 1.7 (ISO 32000-1): ink as filled paths, words and music as glyphs of embedded subset
//! fonts. Words can be searched and copied; music signs stay out of copied text. Nothing depends
//! on the clock or on chance: the same drawing gives the same bytes.

mod ahead;
mod compress;
mod content;
mod crop_marks;
mod document;
mod elements;
mod face_key;
mod faces;
mod file;
mod finish;
mod glyphs;
mod information;
mod links;
mod long_list;
mod object;
mod operand;
mod options;
mod outline;
mod pack;
mod page_content;
mod page_ink;
mod page_objects;
mod pages;
mod pictures;
mod place;
mod stream;
mod structure;
mod tags;
mod text_object;
mod words;
mod written;

pub use ahead::{PdfLines, PdfPages};
pub use document::{write, write_and_drop, write_with};
pub use options::{InkSpace, PdfOptions};
