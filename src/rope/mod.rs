//! A sequence kept in chunks (Boehm, Atkinson and Plass 1995, with one level of chunks). Its versions share
//! every chunk that is alike: to copy it costs a list of chunks, to change it one chunk more, and who compares
//! two versions passes over what they share. A chunk of which all items come to stand elsewhere is shared as well, and
//! they are moved when somebody asks for them.

mod build;
mod change;
mod chunk;
mod chunks;
#[cfg(test)]
mod tests;

pub use change::Change;
pub use chunk::{Moved, MovedItem};
pub use chunks::{Iter, Rope};
