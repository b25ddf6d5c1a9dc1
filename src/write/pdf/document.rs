//! The document put together: faces, pages, and what stands beside them.

use super::compress;
use super::content::{self, Parts};
use super::encoded::Encoded;
use super::faces::Faces;
use super::file;
use super::finish;
use super::information::PRODUCER;
use super::options::PdfOptions;
use super::place::points;
use super::tags::Tags;
use super::usage::Usage;
use crate::drawing::{Drawing, Page};
use crate::font::Fonts;
use crate::parallel::map_in_order;
use crate::write::error::WriteError;
use lopdf::{Document, Stream};
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
    Filled::new(drawing, fonts, options)?.finish(drawing, options)
}

/// The same of a drawing that nobody needs any more: its marks are given up as soon as they are
/// written, so that they and the objects of the file are never in memory together.
///
/// # Errors
/// Says which face could not be embedded.
pub fn write_and_drop(
    mut drawing: Drawing,
    fonts: &Fonts,
    options: &PdfOptions,
) -> Result<Vec<u8>, WriteError> {
    let filled = Filled::new(&drawing, fonts, options)?;
    map_in_order(drawing.pages.iter_mut().collect(), |page| page.nodes = Vec::new());
    filled.finish(&drawing, options)
}

/// A document with the content of its pages, compressed.
struct Filled {
    document: Document,
    tags: Option<Tags>,
}

impl Filled {
    fn new(drawing: &Drawing, fonts: &Fonts, options: &PdfOptions) -> Result<Self, WriteError> {
        let usage = Usage::of(drawing);
        let faces = Faces::of(&usage, fonts)?;
        let mut document = skeleton(drawing, &faces);
        let encoded = Encoded::new(&usage, faces, fonts);
        // Pages side by side on a sheet are to be folded, not to be listened to.
        let mut tags = (!drawing.imposed).then(|| Tags::new(drawing));
        let parts = drawing.pages.iter().map(|page| Parts::of(page, tags.as_mut())).collect();
        let contents = map_in_order(parts, |parts: Parts<'_>| {
            compress::stream(content::write(&parts, &encoded, options))
        });
        fill(&mut document, contents.into_iter().collect::<Result<_, _>>().map_err(damaged)?)
            .map_err(damaged)?;
        Ok(Self { document, tags })
    }

    /// The file, with all that is said beside the pages of a drawing, whose marks are not read.
    fn finish(mut self, drawing: &Drawing, options: &PdfOptions) -> Result<Vec<u8>, WriteError> {
        finish::finish(&mut self.document, drawing, options, self.tags).map_err(damaged)?;
        compress::compress(&mut self.document).map_err(damaged)?;
        file::write(&self.document).map_err(damaged)
    }
}

/// The document with its faces and its pages, which are empty but for the first: it shows each glyph
/// once.
fn skeleton(drawing: &Drawing, faces: &Faces) -> Document {
    let mut document = PdfDocument::new("");
    let info = &mut document.metadata.info;
    info.document_title = drawing.title.clone().unwrap_or_default();
    info.author = drawing.author.clone().unwrap_or_default();
    info.producer = PRODUCER.into();
    faces.embed(&mut document);
    let mut shown = faces.specimen();
    let page = |page: &Page| {
        let sheet = sheet(page);
        let ops = std::mem::take(&mut shown);
        PdfPage { media_box: sheet.clone(), trim_box: sheet.clone(), crop_box: sheet, ops }
    };
    document.pages = drawing.pages.iter().map(page).collect();
    printpdf::serialize::to_lopdf_doc(&document, &PdfSaveOptions::default(), &mut Vec::new())
}

/// Puts the contents of the pages in.
fn fill(document: &mut Document, contents: Vec<Stream>) -> lopdf::Result<()> {
    let pages: Vec<_> = document.get_pages().into_values().collect();
    for (page, content) in pages.into_iter().zip(contents) {
        let id = document.get_dictionary(page)?.get(b"Contents")?.as_reference()?;
        document.objects.insert(id, content.into());
    }
    Ok(())
}

fn damaged(error: impl std::fmt::Display) -> WriteError {
    WriteError(format!("the PDF could not be put together: {error}"))
}

fn sheet(page: &Page) -> Rect {
    Rect::from_wh(points(page.width), points(page.height))
}
