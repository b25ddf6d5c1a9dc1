//! PNG pictures: the SVG of a page, turned into pixels by resvg. Ink is black. Without the feature
//! `png` there are none.

use super::error::WriteError;
#[cfg(feature = "png")]
use super::svg;
use crate::drawing::Page;
use crate::font::Fonts;
#[cfg(feature = "png")]
use resvg::{tiny_skia, usvg};

/// How a picture is made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PngOptions {
    /// Size against the usual one of screens: 1 is 96 pixels an inch.
    pub scale: f64,
    /// Nothing behind the ink in place of white paper.
    pub transparent: bool,
}

impl Default for PngOptions {
    /// Twice the usual size, for sharp screens, on white.
    fn default() -> Self {
        Self { scale: 2.0, transparent: false }
    }
}

/// The longest side of a picture, in pixels.
pub const LONGEST_SIDE: f32 = 16_000.0;

/// One page as a PNG file.
///
/// # Errors
/// Says where the picture would be without size or longer than [`LONGEST_SIDE`].
#[cfg(feature = "png")]
pub fn write(page: &Page, fonts: &Fonts, options: PngOptions) -> Result<Vec<u8>, WriteError> {
    let refused = |why: &dyn std::fmt::Display| {
        WriteError(format!("the picture of {} can't be made: {why}", page.name))
    };
    let tree = usvg::Tree::from_str(&svg::write(page, fonts), &usvg::Options::default())
        .map_err(|e| refused(&e))?;
    let scale = options.scale as f32;
    let (width, height) = (tree.size().width() * scale, tree.size().height() * scale);
    if width.max(height) > LONGEST_SIDE {
        return Err(refused(&format!(
            "it would be {width:.0} by {height:.0} pixels, and {LONGEST_SIDE:.0} is the most; \
             use a smaller --scale"
        )));
    }
    let mut pixels = tiny_skia::Pixmap::new(width.ceil() as u32, height.ceil() as u32)
        .ok_or_else(|| refused(&"it has no size"))?;
    if !options.transparent {
        pixels.fill(tiny_skia::Color::WHITE);
    }
    resvg::render(&tree, tiny_skia::Transform::from_scale(scale, scale), &mut pixels.as_mut());
    pixels.encode_png().map_err(|e| refused(&e))
}

/// No PNG file: the program was built without them.
///
/// # Errors
/// Always.
#[cfg(not(feature = "png"))]
pub fn write(_: &Page, _: &Fonts, _: PngOptions) -> Result<Vec<u8>, WriteError> {
    Err(WriteError("this program was built without PNG pictures; write SVG in their place".into()))
}
