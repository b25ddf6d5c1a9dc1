//! How a word may go on.

mod cells;
mod complete;
mod first_word;
mod item;
mod names;
mod values;

pub use complete::complete;
pub use item::{Completion, CompletionKind};
