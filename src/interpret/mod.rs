//! Tree to model: rows, voices, what hangs on notes, settings, counting, and the wording of faults.
//!
//! What is written becomes blocks; what is to be made from blocks or by a rule becomes a request,
//! which [`derive`](crate::derive) answers.

mod assemble;
mod bars;
mod break_up;
pub(crate) mod compose;
mod counted;
pub mod counting;
pub(crate) mod deal;
pub(crate) mod divisions;
mod dynamics;
mod extras;
mod file_start;
pub(crate) mod finish;
pub(crate) mod flow;
mod grid;
mod key_table;
pub(crate) mod keys;
mod kit_rows;
mod marks;
mod misfit;
mod names;
mod reader;
pub mod reading;
pub(crate) mod request;
mod rows;
pub(crate) mod ruler;
pub(crate) mod same_bars;
pub(crate) mod setup;
mod shapes;
pub(crate) mod stick_rule;
mod sticking;
mod values;
mod voices;
mod words;

pub use reader::{read, text_font};
pub use reading::Reading;
