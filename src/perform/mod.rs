//! What is played, and whether it can be.

mod playable;

pub use playable::{can_play, check};
