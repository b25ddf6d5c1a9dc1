//! The document put together: faces, pages, and what stands beside them.

use super::compress;
use super::faces::Faces;
use super::file;
use super::finish;
use super::glyphs::GlyphNumbers;
use super::information::PRODUCER;
use super::options::PdfOptions;
use super::pages;
use super::pages::PagesSoFar;
use super::place::points;
use super::tags::Tags;
use super::written::WrittenObjects;
use crate::drawing::{Drawing, PAGES_TOGETHER, Page};
use crate::font::Fonts;
use crate::parallel::{Each, both};
use crate::write::error::WriteError;
use kurbo::Size;
use lopdf::{Document, Object, Stream};
use printpdf::{PdfDocument, PdfPage, PdfSaveOptions, Rect};
use std::borrow::Cow;

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
/// Says which face could not be embedded, or that black ink alone can't print the colours of a page.
pub fn write_with(
    drawing: &Drawing,
    fonts: &Fonts,
    options: &PdfOptions,
) -> Result<Vec<u8>, WriteError> {
    let pages = drawing.pages.chunks(PAGES_TOGETHER);
    let pages = pages.map(|pages| pages.iter().map(Cow::Borrowed).collect());
    write_pages(drawing, pages, fonts, options)
}

/// The same of a drawing that nobody needs any more: its pages are given up as soon as they are written.
///
/// # Errors
/// As [`write_with`].
pub fn write_and_drop(
    mut drawing: Drawing,
    fonts: &Fonts,
    options: &PdfOptions,
) -> Result<Vec<u8>, WriteError> {
    let count = drawing.pages.len().div_ceil(PAGES_TOGETHER);
    let mut rest = std::mem::take(&mut drawing.pages).into_iter();
    let pages = (0..count).map(|_| rest.by_ref().take(PAGES_TOGETHER).map(Cow::Owned).collect());
    write_pages(&drawing, pages, fonts, options)
}

/// The same of a drawing whose pages come some at a time.
///
/// # Errors
/// As [`write_with`].
pub(super) fn write_pages<'a>(
    drawing: &Drawing,
    mut rest: impl ExactSizeIterator<Item = Vec<Cow<'a, Page>>> + Send,
    fonts: &Fonts,
    options: &PdfOptions,
) -> Result<Vec<u8>, WriteError> {
    // Pages side by side on a sheet are to be folded, not to be listened to.
    let tags = (!drawing.imposed).then(|| Tags::new(drawing.title.is_some()));
    let mut known = PagesSoFar::new(fonts, options, tags);
    let mut numbers = GlyphNumbers::default();
    let mut contents = Vec::new();
    let first = rest.next().unwrap_or_default();
    let mut waiting = known.write(first, &numbers)?;
    while rest.len() > 0 {
        pages::number(&waiting, &mut numbers);
        let count = waiting.len();
        let pack = || pages::pack(waiting, &numbers);
        let next = || known.write(rest.next().unwrap_or_default(), &numbers);
        let (packed, next) = both(Each::Large, count, pack, next);
        contents.extend(packed);
        waiting = next?;
    }
    pages::number(&waiting, &mut numbers);
    let count = waiting.len();
    let PagesSoFar { sizes, tags, pictures, .. } = known;
    let beside = || {
        // It may hold all that pages are made of.
        drop(rest);
        let faces = Faces::of(&numbers, fonts)?;
        let put_together = || {
            let mut document = skeleton(drawing, &sizes, &faces).map_err(damaged)?;
            let mut written = WrittenObjects::default();
            pictures.write(&mut document).map_err(damaged)?;
            let parts = (&mut document, &mut written);
            finish::finish(parts, (drawing, &sizes), options, tags).map_err(damaged)?;
            Ok::<_, WriteError>((document, written))
        };
        let (document, packed) =
            both(Each::Large, faces.count(), put_together, || faces.packed().map_err(damaged));
        Ok::<_, WriteError>((document?, packed?))
    };
    let (packed, beside) = both(Each::Large, count, || pages::pack(waiting, &numbers), beside);
    contents.extend(packed);
    let ((mut document, written), faces) = beside?;
    let contents = contents.into_iter().collect::<Result<_, _>>().map_err(damaged)?;
    fill(&mut document, contents).map_err(damaged)?;
    compress::compress(&mut document, &faces).map_err(damaged)?;
    file::write(&document, written).map_err(damaged)
}

/// The document with its faces and its pages, which are empty but for the first: it shows each glyph
/// once.
fn skeleton(drawing: &Drawing, sizes: &[Size], faces: &Faces) -> lopdf::Result<Document> {
    let mut document = PdfDocument::new("");
    let info = &mut document.metadata.info;
    info.document_title = drawing.title.clone().unwrap_or_default();
    info.author = drawing.author.clone().unwrap_or_default();
    info.producer = PRODUCER.into();
    faces.embed(&mut document);
    let first = sizes.first().map(|size| {
        let sheet = Rect::from_wh(points(size.width), points(size.height));
        let ops = faces.specimen();
        PdfPage { media_box: sheet.clone(), trim_box: sheet.clone(), crop_box: sheet, ops }
    });
    document.pages = first.into_iter().collect();
    let options = PdfSaveOptions::default();
    let mut document = printpdf::serialize::to_lopdf_doc(&document, &options, &mut Vec::new());
    add_pages(&mut document, sizes.len().saturating_sub(1))?;
    Ok(document)
}

/// Adds so many pages after the first that are as this is, each with a content of its own. They share its resources
/// (ISO 32000-1, 7.7.3.3): as many as a book has pages would take more room than all that stands beside its pages.
fn add_pages(document: &mut Document, count: usize) -> lopdf::Result<()> {
    let Some(first) = document.get_pages().into_values().next() else { return Ok(()) };
    let page = document.get_dictionary(first)?.clone();
    let tree = page.get(b"Parent")?.as_reference()?;
    let mut kids: Vec<Object> = vec![first.into()];
    for _ in 0..count {
        let mut own = page.clone();
        own.set("Contents", document.new_object_id());
        kids.push(document.add_object(own).into());
    }
    let tree = document.get_dictionary_mut(tree)?;
    tree.set("Count", kids.len() as i64);
    tree.set("Kids", kids);
    Ok(())
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
