//! The little languages of values: what stands after the colon of a key, the words of a `mark` row,
//! and what a `kit` row says of its letter. Each has an entry in the grammar; here its tokens become
//! typed values with their numbers in range. Nothing here knows a kit: drums stay words with their
//! places.

pub mod beams;
pub mod blank;
pub mod cells;
pub mod change;
pub mod colour;
#[cfg(test)]
mod hard;
pub mod isbn;
pub mod kit;
pub mod length;
pub mod list;
pub mod mark;
pub mod note;
pub mod number;
pub mod paper;
pub mod practice;
pub mod sequence;
pub mod series;
pub mod setting;
pub mod shift;
pub mod speed;
pub mod stick;
pub mod strokes;
pub mod subdivision;
pub mod swing;
pub mod tempo;
pub mod time;
