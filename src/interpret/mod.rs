//! Tree to model: rows, voices, what hangs on notes, settings, counting, and the wording of faults.
//!
//! What is written becomes blocks; what is to be made from blocks or by a rule becomes a request,
//! which [`derive`](crate::derive) answers.

mod assemble;
mod bar_draft;
mod bar_time;
mod bars;
pub(crate) mod beams;
mod blocks;
mod break_up;
pub mod codes;
pub(crate) mod compose;
mod counted;
pub mod counting;
pub(crate) mod divisions;
mod dynamics;
pub(crate) mod edition;
mod events;
mod extras;
mod file_start;
pub(crate) mod finish;
mod form;
mod grid;
mod join_hits;
#[cfg(test)]
mod key_guide;
mod key_table;
mod key_values;
pub(crate) mod keys;
mod kit_rows;
mod letters;
mod marks;
mod misfit;
mod misread;
mod missing_files;
mod names;
mod over_barline;
mod phrases;
mod pickup;
pub(crate) mod place;
mod plan;
mod players;
mod practice_keys;
mod quote_marks;
mod read_block;
mod reader;
pub mod reading;
mod reading_memo;
pub(crate) mod request;
mod row_kinds;
mod rows;
pub(crate) mod ruler;
pub(crate) mod same_bars;
pub(crate) mod setup;
mod shapes;
pub(crate) mod stick_rule;
mod sticking;
pub(crate) mod surroundings;
mod sustain;
mod two_voices;
mod typography;
mod unmetered;
mod values;
mod voice_divisions;
mod voice_draft;
mod voices;
mod words;
pub(crate) mod written;
mod wrong_value;

pub use edition::names as editions;
pub use missing_files::drop_followers_of_missing_files;
pub use players::players;
pub use reader::{read, read_again, read_edition};
pub use reading::Reading;
pub use reading_memo::ReadingMemo;
