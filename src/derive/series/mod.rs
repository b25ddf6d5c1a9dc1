//! Series: exercises made by a rule, one after another.

mod arrange;
mod count;
mod exercises;
mod make;
mod turns;

pub(super) use make::make;
