//! The document put together: faces, pages, and what stands beside them.

use super::compress;
use super::content;
use super::faces::Faces;
use super::finish;
use super::information::PRODUCER;
use super::options::PdfOptions;
use super::place::points;
use super::tags::Tags;
use crate::drawing::{Drawing, Page};
use crate::font::Fonts;
use crate::write::error::WriteError;
use printpdf::{PdfDocument, PdfPage, PdfSaveOptions, Rect};

/// The drawing as one PDF file with subset fonts.
///
/// # Errors
/// Says which face could not be embedded.
pub fn write(drawing: &Drawing, fonts: &Fonts) -> Result<Vec<u8>, WriteError> {
    write_with(drawing, fonts, &PdfOptions::default())
}

/// The drawing as one PDF file made for a printer.
///
/// # Errors
/// Says which face could not be embedded.
pub fn write_with(
    drawing: &Drawing,
    fonts: &Fonts,
    options: &PdfOptions,
) -> Result<Vec<u8>, WriteError> {
    let faces = Faces::collect(drawing, fonts)?;
    let mut document = PdfDocument::new("");
    let info = &mut document.metadata.info;
    info.document_title = drawing.title.clone().unwrap_or_default();
    info.author = drawing.author.clone().unwrap_or_default();
    info.producer = PRODUCER.into();
    faces.embed(&mut document);
    // Pages side by side on a sheet are to be folded, not to be listened to.
    let mut tags = (!drawing.imposed).then(|| Tags::new(drawing));
    document.pages = drawing
        .pages
        .iter()
        .map(|page| {
            let sheet = sheet(page);
            if let Some(tags) = &mut tags {
                tags.page();
            }
            PdfPage {
                media_box: sheet.clone(),
                trim_box: sheet.clone(),
                crop_box: sheet,
                ops: content::operators(page, fonts, &faces, options, tags.as_mut()),
            }
        })
        .collect();

    let mut document =
        printpdf::serialize::to_lopdf_doc(&document, &PdfSaveOptions::default(), &mut Vec::new());
    finish::finish(&mut document, drawing, options, tags).map_err(damaged)?;
    compress::compress(&mut document).map_err(damaged)?;
    let mut bytes = Vec::new();
    // Entries of the structure tree are many and alike: packed together they take a tenth.
    let packed = lopdf::SaveOptions {
        use_object_streams: true,
        use_xref_streams: true,
        ..lopdf::SaveOptions::default()
    };
    document.save_with_options(&mut bytes, packed).map_err(damaged)?;
    Ok(bytes)
}

fn damaged(error: impl std::fmt::Display) -> WriteError {
    WriteError(format!("the PDF could not be put together: {error}"))
}

fn sheet(page: &Page) -> Rect {
    Rect::from_wh(points(page.width), points(page.height))
}
