//! Practice: which blocks are heard in which order, how fast, with which clicks, and every sound of that in
//! seconds.

mod click;
mod error;
mod event;
mod loose;
mod plan;
mod play;
mod speed;

pub use error::PlanError;
pub use event::{Event, Sound, StrokeOrigin};
pub use plan::{Pass, Plan, Wanted};
pub use play::{Events, PassTimes};
