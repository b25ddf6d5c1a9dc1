//! Films as files: frames of pixels, numbered pictures or one animated PNG of them, and an animated SVG, which
//! needs no pixels. Without the feature `png` there are no frames.

mod animated;
#[cfg(feature = "png")]
mod apng;
#[cfg(feature = "png")]
mod area;
#[cfg(feature = "png")]
mod blend;
#[cfg(feature = "png")]
mod canvas;
#[cfg(feature = "png")]
mod frames;
#[cfg(feature = "png")]
mod moving;
mod outlines;
#[cfg(feature = "png")]
mod painter;
#[cfg(feature = "png")]
mod picture;
#[cfg(feature = "png")]
mod sprite;
#[cfg(feature = "png")]
mod stage;
mod track;

pub use animated::write_svg;
#[cfg(feature = "png")]
pub use apng::write_apng;
#[cfg(feature = "png")]
pub use area::Area;
#[cfg(feature = "png")]
pub use frames::{Frame, Frames};
#[cfg(feature = "png")]
pub use picture::Pictures;
