//! The scripts and styles of pages that sound, each a file that any page may hold.

/// Lights up engraved notes by a clock: the function `litNotes`, told of at its head. It needs no other file.
pub const LIT_NOTES: &str = include_str!("lit_notes.js");

/// Plays events at their beats by the clock of sound, at a tempo that may change: the class `Transport`.
pub const TRANSPORT: &str = include_str!("transport.js");

/// The buttons of a lesson's page; it needs the two before it.
pub const PLAYER: &str = include_str!("player.js");

/// How notes that are lit and buttons look.
pub const PLAYER_STYLE: &str = include_str!("player.css");
