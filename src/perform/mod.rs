//! What is played, from a block as it is written: every stroke in exact musical time and in seconds,
//! and whether a drummer can play it.

pub mod codes;
mod loudness;
mod order;
mod ornament;
mod pace;
mod play;
mod playable;
mod player;
mod silence;
mod tempo;
mod timeline;

pub use loudness::Loudness;
pub use order::{Played, played};
pub use pace::TempoStep;
pub use playable::{PlayableMemo, can_play, check, check_again};
pub use timeline::{Note, NoteId, Stroke, StrokeKind, Timeline, VoiceName};
