//! `film`: the notation of what is practised, in step with its sound.

mod arguments;
mod cards;
mod folder;
mod names;
mod options;
mod run;
mod target;

pub use arguments::{EXAMPLES, FilmArguments};
pub use run::run;
