//! What is written, without a width: note values, rests, tuplets, beams, ties between bars, and the
//! bars for which a sign stands.

pub mod beams;
pub mod event;
pub mod frames;
pub mod held;
pub mod rests;
pub mod rhythm;
pub mod shown;
pub mod sounds;
pub mod ties;
pub mod tuplets;
pub mod value;
