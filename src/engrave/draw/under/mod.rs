//! What stands under the staff: dynamics, then every row of words, from the staff downwards.

pub mod dynamics;
pub mod hairpins;
pub mod rows;
