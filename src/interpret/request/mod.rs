//! Blocks that are to be made from others or by a rule: what their lines ask for, typed.

mod change;
mod faults;
mod pattern;
mod read;
mod rule;
mod sequence;
mod series;

pub(crate) use change::{Change, Filling, Moved, Places, Step, Taps, Turn};
pub(crate) use pattern::Pattern;
pub(crate) use read::{Asked, ChangeRequest, Request, read};
pub(crate) use rule::{Hands, Notes, Order, Rule};
pub(crate) use sequence::{Ending, Entry, OwnRows, PlayedBlock, Sequence};
pub(crate) use series::{MOST, Playable, Series};
