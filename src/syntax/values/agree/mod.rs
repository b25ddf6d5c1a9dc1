//! The readers of values agree with those that take values apart by hand.

mod by_hand;
mod generate;
mod made;
mod settings;
