//! Lines of music drawn: everything at its place, and the outline of the ink that keeps one thing
//! clear of another.

pub mod bar_signs;
pub mod barlines;
pub mod beam_place;
pub mod beams;
pub mod canvas;
pub mod carried;
pub mod chord;
pub mod grace;
pub mod ledgers;
pub mod line;
pub mod names;
pub mod notes;
pub mod opening;
pub mod outline;
pub mod over;
pub mod page_turn;
pub mod placed_bar;
pub mod players;
pub mod rests;
pub mod signs;
pub mod skyline;
mod small_notes;
pub mod system;
pub mod ties;
pub mod tuplets;
pub mod under;
