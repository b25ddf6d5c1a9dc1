//! A text that stays in memory: it is edited, and what an edit touches is typeset again.
//!
//! [`Session`] holds the files of a text and everything that was made of them. An edit reads the lines
//! around it, reads and engraves the blocks among them and what is made from these, breaks pages again
//! and says which came to look different. What comes out is what a build from nothing makes of the same
//! files, to the byte. It looks at no disk and no clock and starts no thread of its own.

mod error;
mod files;
mod resident;
mod typeset;

pub use error::{EditError, Superseded};
pub use resident::{Session, Update};
