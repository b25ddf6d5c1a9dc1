//! `watch`: what `build` makes is made again whenever a file it is made from is saved.

mod changes;
mod inputs;
mod round;
mod run;
mod wake;

pub use run::run;
