//! Music made from music: variations, contexts, series, stickings by rule. It works on the model;
//! rows as text are written for those who ask to see them.

mod accents;
mod account;
mod apply;
mod backwards;
mod budget;
mod cells;
pub mod codes;
mod complete;
mod compose;
mod context;
mod from_block;
mod gaps;
mod hands;
mod join;
#[cfg(test)]
mod laws;
mod library;
mod maker;
mod making_memo;
mod mentions;
mod numbering;
mod phrase;
mod players;
mod row;
mod series;
mod strokes;
mod subdivision;
mod tell;
mod text;
mod time;
mod variation;

pub use budget::Budget;
pub use complete::{complete, complete_again};
pub use maker::CanPlay;
pub use making_memo::MakingMemo;
pub use tell::{expand, explain};
