//! A score to pages: title, body, foot; to a cropped picture of each block; and to a body without
//! pages.
//!
//! [`compose()`] goes through the phases in order: `body` sets each item as pieces, `galley` collects
//! them into one column with what stands before and after, `settle` breaks the column into pages
//! until references have room in them, `index` is set after them, and `assemble` puts the pages
//! together. [`flowing`] stops before pages. Lengths are points.

mod ahead;
mod beside;
mod block;
mod body;
mod body_again;
mod body_text;
mod bond;
pub mod booklet;
mod breaking;
mod broken;
mod changed_pages;
pub mod codes;
mod column;
mod compose;
mod contents;
mod contents_ground;
mod cost;
mod edges;
mod engraved;
mod figure;
mod flat_text;
pub mod flowing;
mod flowing_lists;
mod flowing_places;
mod front;
mod front_matter;
mod galley;
mod grid;
mod growing;
mod headed;
mod index;
mod index_columns;
mod index_lists;
mod index_memo;
mod item_ids;
mod key;
mod labels;
mod layout;
mod level;
mod line_breaks;
mod listed;
mod measure;
mod opens;
mod page_number;
mod pages_memo;
mod passage;
mod picture;
mod pictures;
mod piece;
mod prose;
mod prose_blocks;
mod reference;
mod referring;
mod running;
mod setter;
mod settle;
mod shaped_flat;
pub mod sheet;
mod spent;
mod spoken;
mod stands;
pub use spoken::name as known_as;
mod table;
mod title;
mod words_memo;

pub use body::Wanted;
pub use compose::{Composed, check, compose, compose_written, lay_out};
pub use layout::Layout;
pub use pages_memo::PagesMemo;
pub use picture::key as picture_name;
