//! Films: that the cursor is at every note when it is played, that nothing drifts, and that nothing is cut off.

// Helpers outside of test functions may stop the test too.
#![allow(clippy::expect_used, clippy::panic)]

#[cfg(feature = "png")]
mod animated_png;
mod drawn;
mod examples;
#[cfg(feature = "png")]
mod frames;
mod made;
mod motion;
mod recording;
