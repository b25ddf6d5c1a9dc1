//! Music made from music: variations, contexts, series, stickings by rule. It works on the model;
//! rows as text are written for those who ask to see them.

mod accents;
mod account;
mod answers;
mod apply;
mod attached;
mod attached_text;
mod backwards;
mod budget;
mod cells;
pub mod codes;
mod complete;
mod compose;
mod context;
mod context_told;
mod edition;
mod entry;
mod from_block;
mod gaps;
mod hands;
mod in_context;
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
mod signature;
mod strokes;
mod subdivision;
mod tell;
mod text;
mod time;
mod variation;
mod weave;

pub use budget::Budget;
pub use complete::{complete, complete_again};
pub use maker::CanPlay;
pub use making_memo::MakingMemo;
pub use tell::{expand, explain};
