//! Blocks that are to be made from others or by a rule: what their lines ask for, typed.

mod change;
mod faults;
mod pattern;
mod read;
mod rule;
mod sequence;
mod series;

#[cfg(test)]
pub(crate) use change::WORDS as CHANGE_WORDS;
pub(crate) use change::{Change, Filling, Moved, Places, Step, Taps, Turn};
pub(crate) use pattern::Pattern;
pub(crate) use read::{Asked, ChangeRequest, Request, read};
pub(crate) use rule::{Hands, Notes, Order, Rule};
#[cfg(test)]
pub(crate) use sequence::WORDS as SEQUENCE_WORDS;
pub(crate) use sequence::{Ending, Entry, OwnRows, PlayedBlock, Sequence};
#[cfg(test)]
pub(crate) use series::WORDS as SERIES_WORDS;
pub(crate) use series::{MOST, Playable, Series};
