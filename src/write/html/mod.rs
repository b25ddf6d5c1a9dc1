//! HTML5: a whole handout as one page that needs nothing else, or a book as a folder of such pages. Prose and titles are text; each
//! block holds its music engraved for three widths, of which media queries show one. Music is ink
//! in `currentColor`, so the page follows a reader's choice of light or dark. A button at each block shows how
//! it goes.

mod additions;
mod body;
mod book;
mod chapters;
mod escape;
mod figure;
mod leads;
mod lists;
mod moving;
mod page;
mod prose;
mod words;

pub(in crate::write) use additions::Additions;
pub(in crate::write) use body::{BodyForm, body};
pub use book::{WebPage, write_book};
pub(in crate::write) use chapters::{Chapter, ChapterKind, divided, leads};
pub(in crate::write) use escape::escape;
pub(in crate::write) use figure::{called, dedication, plain, title_lines};
pub(in crate::write) use leads::Leads;
pub(in crate::write) use lists::index;
pub(in crate::write) use moving::POLICY;
pub use page::write;
pub(in crate::write) use page::write_with;
pub(in crate::write) use words::HtmlWords;
