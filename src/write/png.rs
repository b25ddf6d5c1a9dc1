//! PNG pictures: the SVG of a page, turned into pixels by resvg. Ink is black where the page has no
//! other. Without the feature
//! `png` there are none.

use super::error::WriteError;
#[cfg(feature = "png")]
use super::svg;
use crate::drawing::Page;
use crate::font::Fonts;
#[cfg(feature = "png")]
use crate::score::printing::Background;
#[cfg(feature = "png")]
use resvg::{tiny_skia, usvg};

/// Pixels of a screen for each point, at the usual size.
#[cfg(feature = "png")]
const PIXELS_A_POINT: f64 = 96.0 / 72.0;

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

/// The most pixels of a picture: an A0 sheet at the usual size, which takes 256 MB while it is made.
pub const MOST_PIXELS: f32 = 64_000_000.0;

/// One page as a PNG file.
///
/// # Errors
/// Says where the picture would be without size, longer than [`LONGEST_SIDE`] or of more than
/// [`MOST_PIXELS`].
#[cfg(feature = "png")]
pub fn write(page: &Page, fonts: &Fonts, options: PngOptions) -> Result<Vec<u8>, WriteError> {
    let refused = |why: &dyn std::fmt::Display| {
        WriteError(format!("the picture of {} can't be made: {why}", page.name))
    };
    let scale = options.scale as f32;
    // Refused before anything is drawn, which takes long for so large a picture.
    let pixels = |points: f64| (points * PIXELS_A_POINT) as f32 * scale;
    fits(pixels(page.width), pixels(page.height)).map_err(|why| refused(&why))?;
    let tree = usvg::Tree::from_str(&svg::write(page, fonts), &usvg::Options::default())
        .map_err(|e| refused(&e))?;
    let (width, height) = (tree.size().width() * scale, tree.size().height() * scale);
    fits(width, height).map_err(|why| refused(&why))?;
    let mut pixels = tiny_skia::Pixmap::new(width.ceil() as u32, height.ceil() as u32)
        .ok_or_else(|| refused(&"it has no size"))?;
    if !options.transparent && page.colours.background != Background::None {
        pixels.fill(tiny_skia::Color::WHITE);
    }
    resvg::render(&tree, tiny_skia::Transform::from_scale(scale, scale), &mut pixels.as_mut());
    pixels.encode_png().map_err(|e| refused(&e))
}

/// Says why a picture of so many pixels is not made.
#[cfg(feature = "png")]
fn fits(width: f32, height: f32) -> Result<(), String> {
    let size = format!("it would be {width:.0} by {height:.0} pixels");
    if width.max(height) > LONGEST_SIDE {
        return Err(format!("{size}, and {LONGEST_SIDE:.0} is the most; use a smaller --scale"));
    }
    if width * height > MOST_PIXELS {
        let most = MOST_PIXELS / 1e6;
        return Err(format!(
            "{size}, and {most:.0} million pixels are the most; use a smaller --scale"
        ));
    }
    Ok(())
}

/// No PNG file: the program was built without them.
///
/// # Errors
/// Always.
#[cfg(not(feature = "png"))]
pub fn write(_: &Page, _: &Fonts, _: PngOptions) -> Result<Vec<u8>, WriteError> {
    Err(WriteError("this program was built without PNG pictures; write SVG in their place".into()))
}
