//! Editions: the same text printed for somebody else. An `edition` block holds lines that stand over those
//! of headers and of blocks, and says which blocks are printed.
//!
//! The lines are put into the tree of the file, so that it is read as if they were written there; what is
//! printed is chosen once everything is made, since a block that is left out may be what another is made
//! from.

mod block;
mod overlay;

#[cfg(test)]
pub(crate) use block::WORDS;
pub use block::names;
pub(super) use block::read;
pub(super) use overlay::overlaid;
