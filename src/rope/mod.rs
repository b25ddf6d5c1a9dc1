//! A sequence kept in chunks (Boehm, Atkinson and Plass 1995, with one level of chunks). Its versions share
//! every chunk that is alike: to copy it costs a list of chunks, to change it one chunk more, and who compares
//! two versions passes over what they share.

mod build;
mod change;
mod chunks;
#[cfg(test)]
mod tests;

pub use change::Change;
pub use chunks::{Iter, Rope};
