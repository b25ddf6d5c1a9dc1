//! The document put together: faces, pages, and what stands beside them.

use super::compress;
use super::content::{self, Parts, Writing};
use super::faces::{Faces, Misread};
use super::file;
use super::finish;
use super::information::PRODUCER;
use super::numbered::numbered;
use super::options::PdfOptions;
use super::page_content::{PageContent, Shown};
use super::place::points;
use super::tags::Tags;
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
    let (parts, tags) = structure(drawing);
    let pages = drawing.pages.iter().zip(&parts).collect();
    let misread = Misread::default();
    let writing = Writing { fonts, options, misread: &misread };
    let contents =
        map_in_order(pages, |(page, parts): (&Page, &Parts)| content::write(page, parts, writing));
    let again = |page: usize, misread: &Misread| {
        let writing = Writing { misread, ..writing };
        Some(content::write(drawing.pages.get(page)?, parts.get(page)?, writing))
    };
    file(drawing, contents, (tags, &again), (fonts, options))
}

/// The same of a drawing that nobody needs any more.
///
/// # Errors
/// Says which face could not be embedded.
pub fn write_and_drop(
    drawing: Drawing,
    fonts: &Fonts,
    options: &PdfOptions,
) -> Result<Vec<u8>, WriteError> {
    write_with(&drawing, fonts, options)
}

/// How the pages are cut into parts, and the structure these belong to.
fn structure(drawing: &Drawing) -> (Vec<Parts>, Option<Tags>) {
    // Pages side by side on a sheet are to be folded, not to be listened to.
    let mut tags = (!drawing.imposed).then(|| Tags::new(drawing));
    let parts = drawing.pages.iter().map(|page| Parts::of(page, tags.as_mut())).collect();
    (parts, tags)
}

/// Writes the content of a page again, by its index, where some of its glyphs are misread.
type Again<'a> = &'a (dyn Fn(usize, &Misread) -> Option<PageContent> + Sync);

/// The file of pages with these contents.
fn file(
    drawing: &Drawing,
    contents: Vec<PageContent>,
    (tags, again): (Option<Tags>, Again<'_>),
    (fonts, options): (&Fonts, &PdfOptions),
) -> Result<Vec<u8>, WriteError> {
    let mut shown = Shown::default();
    contents.iter().for_each(|content| shown.add(&content.shown));
    let (faces, misread) = Faces::of(&shown, fonts)?;
    let mut document = skeleton(drawing, &faces);
    let contents = map_in_order(contents.into_iter().enumerate().collect(), |(page, content)| {
        let again = misread.concerns(&content.shown).then(|| again(page, &misread)).flatten();
        compress::stream(numbered(&again.unwrap_or(content), &faces))
    });
    fill(&mut document, contents.into_iter().collect::<Result<_, _>>().map_err(damaged)?)
        .map_err(damaged)?;
    finish::finish(&mut document, drawing, options, tags).map_err(damaged)?;
    compress::compress(&mut document).map_err(damaged)?;
    file::write(&document).map_err(damaged)
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
