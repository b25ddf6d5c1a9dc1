//! What stands beside the sound files of a lesson: a playlist, the answers of the quiz, cover pictures, and a
//! web page that plays each block.

mod block_cues;
mod cover;
mod page;
mod texts;
mod voices;

pub use cover::cover;
pub use page::LessonPage;
pub use texts::{MADE_BY, SoundFileName, answers, playlist};
