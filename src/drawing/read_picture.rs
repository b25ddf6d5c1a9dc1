//! Files of pictures.

use super::outlines;
use super::picture::{Picture, PictureForm, PixelFormat};
use std::io::Cursor;
use std::sync::Arc;

/// The most pixels of a picture: what fills a poster.
const MOST_PIXELS: u64 = 40_000_000;
/// Points of a pixel where its file names no size (CSS Values, "Absolute lengths": 96 in an inch).
const POINTS_PER_PIXEL: f64 = 0.75;
/// Points in a metre.
const POINTS_PER_METRE: f64 = 72.0 / 0.0254;

/// Reads the file of a picture.
///
/// # Errors
/// Says in plain words why it can't be shown.
pub fn read_picture(bytes: &Arc<[u8]>) -> Result<Picture, String> {
    match bytes.get(..3) {
        Some([0x89, b'P', b'N']) => png(bytes),
        Some([0xFF, 0xD8, 0xFF]) => jpeg(bytes),
        _ => outlines::read(bytes),
    }
}

fn png(bytes: &Arc<[u8]>) -> Result<Picture, String> {
    let broken = |e: png::DecodingError| format!("it is no whole PNG file ({e})");
    let mut reader = png::Decoder::new(Cursor::new(&bytes[..])).read_info().map_err(broken)?;
    let (wide, high) = (reader.info().width, reader.info().height);
    check_pixels(wide, high)?;
    let per_metre = reader.info().pixel_dims.filter(|dims| dims.unit == png::Unit::Meter);
    let size = |pixels: u32, per_metre: Option<u32>| match per_metre.filter(|count| *count > 0) {
        Some(count) => f64::from(pixels) * POINTS_PER_METRE / f64::from(count),
        None => f64::from(pixels) * POINTS_PER_PIXEL,
    };
    let (width, height) =
        (size(wide, per_metre.map(|d| d.xppu)), size(high, per_metre.map(|d| d.yppu)));
    // What does not read to its end is told now, and not when it is written.
    while reader.next_row().map_err(broken)?.is_some() {}
    let form = PictureForm::Pixels {
        format: PixelFormat::Png,
        pixels: (wide, high),
        bytes: bytes.clone(),
    };
    Ok(Picture { width, height, form })
}

fn check_pixels(wide: u32, high: u32) -> Result<(), String> {
    match u64::from(wide) * u64::from(high) {
        0 => Err("it has no size".to_owned()),
        count if count > MOST_PIXELS => {
            Err(format!("it has {wide} by {high} pixels, and 40 million are the most"))
        }
        _ => Ok(()),
    }
}

/// The size of a JPEG file stands in its frame header (ISO/IEC 10918-1, B.2.2).
fn jpeg(bytes: &Arc<[u8]>) -> Result<Picture, String> {
    let broken = || "it is no whole JPEG file".to_owned();
    let mut at = 2;
    loop {
        let marker = bytes.get(at..at + 4).ok_or_else(broken)?;
        let [0xFF, kind, high, low] = *marker else { return Err(broken()) };
        if kind == 0xFF {
            at += 1;
            continue;
        }
        let length = usize::from(u16::from_be_bytes([high, low]));
        match kind {
            0xC0..=0xC2 => {
                let frame = bytes.get(at + 4..at + 10).ok_or_else(broken)?;
                let [8, h1, h0, w1, w0, components] = *frame else {
                    return Err("its samples are not of eight bits".to_owned());
                };
                let number = |high, low| u32::from(u16::from_be_bytes([high, low]));
                let (wide, high) = (number(w1, w0), number(h1, h0));
                check_pixels(wide, high)?;
                let format = match components {
                    1 => PixelFormat::JpegGrey,
                    3 => PixelFormat::Jpeg,
                    _ => return Err("its colours are for a press; save it in RGB".to_owned()),
                };
                let form =
                    PictureForm::Pixels { format, pixels: (wide, high), bytes: bytes.clone() };
                let (width, height) = (f64::from(wide), f64::from(high));
                return Ok(Picture {
                    width: width * POINTS_PER_PIXEL,
                    height: height * POINTS_PER_PIXEL,
                    form,
                });
            }
            0xC3 | 0xC5..=0xC7 | 0xC9..=0xCB | 0xCD..=0xCF => {
                return Err("it is a JPEG of a kind that no page can show".to_owned());
            }
            0xDA | 0xD9 => return Err(broken()),
            _ => at += 2 + length.max(2),
        }
    }
}
