//! Films: the notation of what is practised, in step with its sound. From a plan and the blocks it plays to
//! pages of whole bars, and to what is seen of them at which second: the page, the cursor, the notes that are
//! lit, the syllable that is said and the beats.
//!
//! Lengths are pixels of a frame; x runs right and y down from its upper left corner. Seconds count from the
//! first frame. The frames themselves are drawn by the writers.

mod card;
mod cursor;
mod error;
mod layout;
mod line;
mod made;
mod motion;
mod panel;
mod path;
mod places;
mod rate;
mod scene;
mod scenes;
mod scroll;
mod strip;
mod wanted;

pub use card::{Card, card};
pub use cursor::{cursor_line, cursor_reach, cursor_wedge};
pub use error::FilmError;
pub use layout::FilmLayout;
pub use line::Line;
pub use made::{Film, FilmSet, GREY};
pub use motion::{BeatShown, DrawnMotion, Light, Motion, Said};
pub use panel::{dots, word};
pub use path::PathPoint;
pub use rate::Rate;
pub use scene::{Lit, Moment, Scene};
pub use scenes::Scenes;
pub use scroll::Scroll;
pub use strip::{SmallCounts, Strip, StripNote, StripPage};
pub use wanted::{FilmColours, FilmOptions, FilmSize, Follow, Turn};
