//! Variations: a block's music changed, line by line, in a neutral form.

pub(super) mod change;
mod gaps;
mod join;
#[cfg(test)]
mod laws;
pub(super) mod phrase;
mod strokes;
mod time;

pub(super) use time::rotate_notes as turn;

pub(super) mod write;
