//! Variations: a block's music changed, line by line, in a neutral form.

pub(crate) mod change;
mod gaps;
mod join;
#[cfg(test)]
mod laws;
pub(crate) mod phrase;
mod strokes;
mod time;

pub(crate) use time::rotate_notes as turn;

pub(crate) mod write;
