//! The widths and the shapes of what is written, before anything has a place: chords, columns,
//! clefs, time signatures, barlines, and the words of the rows under the staff.

pub mod barlines;
pub mod chord;
pub mod columns;
pub mod dashes;
pub mod dynamics;
pub mod glyphs;
pub mod grace;
pub mod head;
pub mod opening;
pub mod rows;
pub mod shape;
pub mod signs;
pub mod small_notes;
pub mod stem;
pub mod voice;
