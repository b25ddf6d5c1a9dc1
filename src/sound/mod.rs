//! From strokes to samples: a drum kit that is worked out and not recorded, or a SoundFont, and the mixer
//! of both. It knows no text, no score, no file, no clock and starts no thread; its samples are the same
//! on every machine.

mod blow;
mod families;
mod filter;
mod kit;
mod limiter;
mod mixer;
mod modes;
mod noise;
mod patch;
mod plate;
mod playing;
mod press;
mod random;
mod render;
mod room;
mod sound_font;
mod strike;
mod table;
mod tone;

pub use kit::Kit;
pub use mixer::Mixer;
pub use sound_font::{MOST_BYTES as MOST_SOUND_FONT_BYTES, SoundFontError};
pub use strike::{ClickKind, FRAMES_PER_SECOND, Side, Strike, Technique, Voice};
