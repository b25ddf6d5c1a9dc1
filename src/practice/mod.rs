//! Practice: which blocks are heard in which order, how fast, with which clicks, and every sound of that in
//! seconds.

mod beats;
mod bend;
mod click;
mod error;
mod event;
mod lesson;
mod loose;
mod plan;
mod play;
mod speed;
mod taps;

pub use beats::{Beat, Tap, beats_of, clock_seconds, count_in_of};
pub use bend::{Bend, BendError};
pub use error::PlanError;
pub use event::{Event, Sound, StrokeOrigin};
pub use lesson::{Lesson, Quiz, QuizQuestion, Track};
pub use plan::{Pass, Plan, Wanted};
pub use play::{Events, PassTimes};
pub use taps::{TapError, read_taps};
