//! Score to systems: note values, beams, ornaments, spacing, rows under the staff.
//!
//! All lengths in this folder are staff spaces unless a name says otherwise; x runs right, y runs
//! down, and y is zero on the middle line of the staff. Time is exact up to `measure`; from there
//! on there are positions.
//!
//! The order of work, in which no room reaches back to one before it is done: `notate` says what is
//! written, `measure` gives it widths and shapes, `space` finds the room of bars and breaks the
//! block into lines, and `draw` draws each line. `block` and [`key`] take a block and a notation
//! key through all four.

mod block;
mod draw;
pub mod engraver;
pub mod key;
mod key_block;
mod measure;
mod notate;
mod place;
mod space;
mod staff;
pub mod style;

pub use block::{Engraved, engrave};
pub use draw::over::heading::{Heading, heading};
pub use draw::page_turn::PageTurn;
pub use draw::system::System;
pub use engraver::Engraver;
pub use place::{BlockPlace, Edges, FinalBarline};
pub use style::Style;
