//! HTML5: a whole handout as one page that needs nothing else, or a book as a folder of such pages. Prose and titles are text; each
//! block holds its music engraved for three widths, of which media queries show one. Music is ink
//! in `currentColor`, so the page follows a reader's choice of light or dark.

mod body;
mod book;
mod chapters;
mod escape;
mod figure;
mod leads;
mod lists;
mod page;
mod prose;
mod words;

pub(in crate::write) use body::{BodyForm, body};
pub use book::{WebPage, write_book};
pub(in crate::write) use chapters::{Chapter, ChapterKind, divided, leads};
pub(in crate::write) use escape::escape;
pub(in crate::write) use figure::{dedication, plain, title_lines};
pub(in crate::write) use leads::Leads;
pub(in crate::write) use lists::index;
pub use page::write;
pub(in crate::write) use page::{Additions, write_with};
pub(in crate::write) use words::HtmlWords;
