//! Whether a drummer can play it: strokes of each limb at the tempo, and hands and feet that would
//! have to be in two places at once. What is found is a warning, for hands differ.

mod found;
mod limbs;
mod passage;
mod places;
#[cfg(test)]
mod tests;
mod told;

pub use told::{PlayableMemo, can_play, check, check_again};
