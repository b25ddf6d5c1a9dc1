//! Music made from music: variations, contexts, series, stickings by rule.

pub(crate) mod context;
pub(crate) mod hands;
pub(crate) mod made;
pub(crate) mod series;
pub(crate) mod variation;
mod written_out;

pub use written_out::{expand, explain};
