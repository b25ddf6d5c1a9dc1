//! The engraver seen from its output: positions measured in staff spaces.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops at the first surprise")]

mod collisions;
mod generated;
mod groups;
mod handbook;
mod layout;
mod marks;
mod picture;
mod players;
mod signs;
mod small_notes;
mod time;
