//! Frames as PNG pictures, quickly rather than small: a minute has thousands of them.

use super::area::{Area, rows};
use super::frames::Frame;
use crate::film::FilmOptions;
use crate::write::error::WriteError;
use png::{BitDepth, ColorType, Compression, Encoder, Filter};
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
            self.keep(&frame);
            let encoder = encoder(&mut self.file, self.size, self.opaque);
            let mut writer = encoder.write_header().map_err(refused)?;
            let bytes = if self.opaque { &self.plain } else { frame.bytes };
            writer.write_image_data(bytes).map_err(refused)?;
            writer.finish().map_err(refused)?;
        }
        Ok(&self.file)
    }

    /// Takes what is new of a frame that has no opacity to tell of.
    fn keep(&mut self, frame: &Frame<'_>) {
        if !self.opaque {
            return;
        }
        let whole = frame.bytes.len() / 4 * 3;
        let changed = frame.changed.filter(|_| self.plain.len() == whole);
        self.plain.resize(whole, 0);
        let area = changed.unwrap_or(Area::whole(self.size.0, self.size.1));
        for row in rows(area, self.size.0 as usize) {
            let from = frame.bytes.get(row.start * 4..row.end * 4).unwrap_or_default();
            let to = self.plain.get_mut(row.start * 3..row.end * 3).unwrap_or_default();
            for (own, plain) in from.chunks_exact(4).zip(to.chunks_exact_mut(3)) {
                plain.copy_from_slice(own.get(..3).unwrap_or_default());
            }
        }
    }
}

/// Writes pictures of a size; without opacity where they have a paper. A pixel is told by what is different from the one
/// to its left: staves and beams go from left to right, so that it is little.
pub(super) fn encoder<'a, W: Write>(to: W, size: (u32, u32), opaque: bool) -> Encoder<'a, W> {
    let mut encoder = Encoder::new(to, size.0, size.1);
    encoder.set_color(if opaque { ColorType::Rgb } else { ColorType::Rgba });
    encoder.set_depth(BitDepth::Eight);
    encoder.set_compression(Compression::Fastest);
    encoder.set_filter(Filter::Sub);
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
