//! The notes of a block as the picture of its sound file.

use crate::drawing::{Inset, Node, Page};
use crate::font::Fonts;
use crate::pages::flowing::Music;
use crate::write::error::WriteError;
use crate::write::flac::Cover;
use crate::write::png;
use crate::write::png::PngOptions;
use kurbo::Vec2;

/// White around the notes, in points. Common practice, no source.
const MARGIN: f64 = 12.0;

/// The picture of a block, at the middle one of its widths; none where the program was built without PNG pictures.
///
/// # Errors
/// Where it would be larger than a picture of pixels may be.
pub fn cover(music: &Music, fonts: &Fonts) -> Result<Option<Cover>, WriteError> {
    if cfg!(not(feature = "png")) {
        return Ok(None);
    }
    let [_, notes, _] = &music.pictures;
    let inset =
        Inset { marks: notes.nodes.clone().into(), scale: 1.0, at: Vec2::new(MARGIN, MARGIN) };
    let page = Page {
        width: notes.width + 2.0 * MARGIN,
        height: notes.height + 2.0 * MARGIN,
        name: notes.name.clone(),
        colours: notes.colours,
        nodes: vec![Node::Inset(inset)],
        lines: notes.lines.clone(),
    };
    let png = png::write(&page, fonts, PngOptions::default())?;
    Ok(Cover::of_png(png))
}
