//! Pictures that prose shows: files of pixels as they are, and outlines.

use kurbo::BezPath;
use std::sync::Arc;

/// A picture.
#[derive(Clone, Debug, PartialEq)]
pub struct Picture {
    /// Its natural width, in points.
    pub width: f64,
    /// Its natural height, in points.
    pub height: f64,
    /// What it is made of.
    pub form: PictureForm,
}

/// What a picture is made of.
#[derive(Clone, Debug, PartialEq)]
pub enum PictureForm {
    /// Pixels, as their file holds them.
    Pixels {
        /// The file's format.
        format: PixelFormat,
        /// How many stand side by side, and how many over each other.
        pixels: (u32, u32),
        /// The file.
        bytes: Arc<[u8]>,
    },
    /// Filled outlines in points from its upper left corner, in drawing order.
    Outlines(Vec<ColouredOutline>),
}

/// A format of files of pixels.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PixelFormat {
    /// PNG.
    Png,
    /// JPEG, grey.
    JpegGrey,
    /// JPEG, in colour.
    Jpeg,
}

/// An outline and its colour.
#[derive(Clone, Debug, PartialEq)]
pub struct ColouredOutline {
    /// The outline.
    pub path: BezPath,
    /// Whether an outline inside another is a hole whichever way it runs.
    pub even_odd: bool,
    /// Red, green and blue.
    pub colour: [u8; 3],
}

impl PixelFormat {
    /// Its media type.
    pub fn media_type(self) -> &'static str {
        match self {
            Self::Png => "image/png",
            Self::JpegGrey | Self::Jpeg => "image/jpeg",
        }
    }
}
