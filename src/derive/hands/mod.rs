//! Stickings made by a rule: which hand takes which note.

mod economy;
mod give;
mod natural;
mod rule;
#[cfg(test)]
mod tests;

pub(crate) use give::{account, give};
pub(crate) use rule::stick;
