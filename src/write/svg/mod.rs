//! SVG 1.1 with the `href` of SVG 2.
//!
//! A page is one `<svg role="img">` sized in points, with a `<title>`. Groups of the drawing are
//! `<g>` elements whose class is the group's name: a bar carries `data-bar`, a note `data-bar`
//! and `data-beat` (an exact fraction), what one of several players has `data-player`; every mark
//! carries its kind's name as its class; all carry `data-line` and `data-column` of their source.
//! Ink is `currentColor`, so that a picture inside a web page follows the page's colours.

mod ink;
mod markup;
mod options;
mod page;
mod picture;
mod shared;
mod used;

pub use options::SvgOptions;
pub use page::{write, write_with};
pub(in crate::write) use picture::picture_element;
pub(in crate::write) use shared::SharedPictures;
