//! What is played, and whether it can be.

pub(crate) mod playable;
