//! The scripts and styles of pages that sound or move, each a file that any page may hold.

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

/// How what moves looks: notes that are lit, the line that goes through the staff, what is said, and beats.
pub const MOTION_STYLE: &str = include_str!("motion.css");

/// The buttons of a page without sound; it needs `MOTION` before it.
pub const SHOW: &str = include_str!("show.js");

/// How those buttons look, after `MOTION_STYLE`.
pub const SHOW_STYLE: &str = include_str!("show.css");

/// How the buttons of a lesson's page look, after `MOTION_STYLE`.
pub const PLAYER_STYLE: &str = include_str!("player.css");
