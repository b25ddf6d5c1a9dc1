//! All frames as one animated PNG (PNG 3rd edition, 11.3.6). Each frame holds only what is different from the
//! one before.

use super::area::{Area, rows};
use super::frames::Frames;
use super::picture::{encoder, plain, refused};
use crate::film::Film;
use crate::font::Fonts;
use crate::write::error::WriteError;
use png::{BlendOp, DisposeOp};
use std::io::Write;

/// What a frame holds where nothing is different: it may not be empty.
const NOTHING: Area = Area { x: 0, y: 0, width: 1, height: 1 };

/// Writes a film frame by frame, each as long as its rate says, to the fraction.
///
/// # Errors
///
/// There is no memory for its frames, there are more than four thousand million, or it can't be written.
pub fn write_apng(film: &Film, fonts: &Fonts, to: impl Write) -> Result<(), WriteError> {
    let options = film.options();
    let too_long = |_| WriteError("this film has too many frames for one file".into());
    let count = u32::try_from(film.frames()).map_err(too_long)?;
    let (size, opaque) =
        ((options.size.width(), options.size.height()), options.colours.paper.is_some());
    let mut encoder = encoder(to, size, opaque);
    encoder.set_animated(count, u32::from(!options.repeats)).map_err(refused)?;
    let mut writer = encoder.write_header().map_err(refused)?;
    let (frames, seconds) = options.rate.ratio();
    let part = |number: u32| u16::try_from(number).unwrap_or(u16::MAX);
    writer.set_frame_delay(part(seconds), part(frames)).map_err(refused)?;
    writer.set_blend_op(BlendOp::Source).map_err(refused)?;
    writer.set_dispose_op(DisposeOp::None).map_err(refused)?;
    let mut all = Frames::of(film, fonts)?;
    let (mut cut, mut room) = (Vec::new(), Vec::new());
    while let Some(frame) = all.next_frame() {
        let whole = Area::whole(size.0, size.1);
        let area = if frame.number == 0 { whole } else { frame.changed.unwrap_or(NOTHING) };
        if frame.number > 0 {
            // Its place is set back first, as a frame may not reach over the edge on the way.
            writer.set_frame_position(0, 0).map_err(refused)?;
            writer.set_frame_dimension(area.width, area.height).map_err(refused)?;
            writer.set_frame_position(area.x, area.y).map_err(refused)?;
        }
        cut.clear();
        for row in rows(area, size.0 as usize) {
            cut.extend_from_slice(frame.bytes.get(row.start * 4..row.end * 4).unwrap_or_default());
        }
        writer.write_image_data(plain(&cut, opaque, &mut room)).map_err(refused)?;
    }
    writer.finish().map_err(refused)
}
