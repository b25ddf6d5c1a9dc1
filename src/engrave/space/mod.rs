//! The room bars want, and lines of them: gaps between columns, and the breaking of a block into
//! lines.

pub mod bar;
pub mod breaks;
pub mod even;
pub mod gaps;
pub mod hairpin_rods;
pub mod line_start;
pub mod lines;
pub mod longer;
pub mod pauses;
pub mod players;
pub mod rods;
pub mod sign_bar;
pub mod spacing;
pub mod widths;
