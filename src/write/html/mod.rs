//! HTML5: a whole handout as one page that needs nothing else. Prose and titles are text; each
//! block holds its music engraved for three widths, of which media queries show one. Music is ink
//! in `currentColor`, so the page follows a reader's choice of light or dark.

mod lists;
mod page;
mod prose;
mod words;

pub use page::write;
