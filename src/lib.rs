//! Flamacue turns drum-text into engraved pages.
