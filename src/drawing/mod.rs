//! Positioned marks, each with its kind and its place in the source: all that any writer sees.
//!
//! Lengths are in points (1/72 inch) once pages are made; x runs right and y runs down from the
//! upper left corner of the page. The engraver builds the same marks in staff spaces and the pages
//! map them to points with [`Node::transform`].

mod document;
pub mod kind;
mod line_writer;
mod mark;
mod outlines;
mod picture;
pub mod prose;
mod read_picture;
mod stars;
mod written;

pub use document::{
    Colours, Drawing, Link, LinkedLine, OutlineEntry, PAGES_TOGETHER, Page, WebLink,
};
pub use kind::{GroupKind, Kind};
pub use line_writer::LineWriter;
pub use mark::{Group, Ink, Inset, InsetMarks, Mark, Node, PlaceFinder, Shape};
pub use picture::{ColouredOutline, Picture, PictureForm, PixelFormat};
pub use prose::Prose;
pub use read_picture::read_picture;
pub use stars::star;
pub use written::WrittenInk;
