//! Frames as PNG pictures, quickly rather than small: a minute has thousands of them.

use super::frames::Frame;
use crate::film::FilmOptions;
use crate::write::error::WriteError;
use png::{BitDepth, ColorType, Compression, Encoder};
use std::io::Write;

/// Turns frames of one film into PNG files.
pub struct Pictures {
    size: (u32, u32),
    opaque: bool,
    /// The pixels without their opacity.
    plain: Vec<u8>,
    file: Vec<u8>,
}

impl Pictures {
    /// For the frames of a film.
    #[must_use]
    pub fn of(options: &FilmOptions) -> Self {
        let size = (options.size.width(), options.size.height());
        let opaque = options.colours.paper.is_some();
        Self { size, opaque, plain: Vec::new(), file: Vec::new() }
    }

    /// A frame as a file; that of the frame before where all is the same.
    ///
    /// # Errors
    ///
    /// The library that writes it refuses.
    pub fn write(&mut self, frame: Frame<'_>) -> Result<&[u8], WriteError> {
        if frame.changed.is_some() || self.file.is_empty() {
            self.file.clear();
            let encoder = encoder(&mut self.file, self.size, self.opaque);
            let mut writer = encoder.write_header().map_err(refused)?;
            let bytes = plain(frame.bytes, self.opaque, &mut self.plain);
            writer.write_image_data(bytes).map_err(refused)?;
            writer.finish().map_err(refused)?;
        }
        Ok(&self.file)
    }
}

/// Writes pictures of a size; without opacity where they have a paper.
pub(super) fn encoder<'a, W: Write>(to: W, size: (u32, u32), opaque: bool) -> Encoder<'a, W> {
    let mut encoder = Encoder::new(to, size.0, size.1);
    encoder.set_color(if opaque { ColorType::Rgb } else { ColorType::Rgba });
    encoder.set_depth(BitDepth::Eight);
    encoder.set_compression(Compression::Fast);
    encoder
}

/// Pixels as a picture holds them.
pub(super) fn plain<'a>(bytes: &'a [u8], opaque: bool, room: &'a mut Vec<u8>) -> &'a [u8] {
    if !opaque {
        return bytes;
    }
    room.clear();
    room.reserve(bytes.len() / 4 * 3);
    for pixel in bytes.chunks_exact(4) {
        room.extend_from_slice(pixel.get(..3).unwrap_or_default());
    }
    room
}

pub(super) fn refused(why: png::EncodingError) -> WriteError {
    match why {
        png::EncodingError::IoError(why) => WriteError(format!("it can't be written: {why}")),
        other => WriteError(format!("a frame can't be written as PNG: {other}")),
    }
}
