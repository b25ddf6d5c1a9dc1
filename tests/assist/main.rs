//! What an editor asks: a text with a cursor in it, and what is answered or what the text becomes.

// Helpers outside of test functions may stop the test too.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod changes;
mod completion;
mod hover;
mod names;
mod note;
mod shape;
mod texts;
