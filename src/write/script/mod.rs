//! The scripts and styles of pages that sound, each a file that any page may hold.

/// Moves what moves on engraved music while it is played: the classes `Motion` and `MovingMusic`, told of at its head. It
/// needs no other file.
pub const MOTION: &str = include_str!("motion.js");

/// The same as a module.
pub const MOTION_MODULE: &str =
    concat!(include_str!("motion.js"), "\n", include_str!("motion_exports.js"));

/// Plays events at their beats by the clock of sound, at a tempo that may change: the class `Transport`.
pub const TRANSPORT: &str = include_str!("transport.js");

/// The buttons of a lesson's page; it needs the scripts before it.
pub const PLAYER: &str = include_str!("player.js");

/// How notes that are lit and buttons look.
pub const PLAYER_STYLE: &str = include_str!("player.css");
