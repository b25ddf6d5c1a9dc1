//! The document put together: faces, pages, and what stands beside them.

use super::compress;
use super::faces::Faces;
use super::file::PdfFile;
use super::finish;
use super::glyphs::GlyphNumbers;
use super::information::PRODUCER;
use super::options::PdfOptions;
use super::page_objects::PageObjects;
use super::pages;
use super::pages::PagesSoFar;
use super::place::{SetPage, points};
use super::tags::Tags;
use super::written::WrittenObjects;
use crate::drawing::{Drawing, PAGES_TOGETHER, Page};
use crate::font::Fonts;
use crate::parallel::{Each, both};
use crate::write::error::WriteError;
use kurbo::Size;
use lopdf::{Dictionary, Document, Object};
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
    let mut file = PdfFile::new();
    let first = rest.next().unwrap_or_default();
    let mut waiting = known.write(first, &numbers)?;
    let mut packed = Vec::new();
    while rest.len() > 0 {
        pages::number(&waiting, &mut numbers);
        let (count, to_come) = (waiting.len(), rest.len() + 1);
        let pack = || {
            file.add_pages(packed, to_come);
            pages::pack(waiting, &numbers)
        };
        let next = || known.write(rest.next().unwrap_or_default(), &numbers);
        let (now_packed, next) = both(Each::Large, count, pack, next);
        (packed, waiting) = (now_packed.map_err(damaged)?, next?);
    }
    pages::number(&waiting, &mut numbers);
    let count = waiting.len();
    let PagesSoFar { sizes, tags, pictures, .. } = known;
    // It may hold all that pages are made of.
    let (faces, ()) = both(Each::Large, count, || Faces::of(&numbers, fonts), || drop(rest));
    let faces = faces?;
    let put_together = || {
        let (mut document, mut pages) = skeleton(drawing, &sizes, &faces)?;
        let mut written = WrittenObjects::default();
        pages.resources = pictures.write(&mut document, &pages.shared)?;
        finish::finish((&mut document, &mut written), (drawing, &pages), options, tags)?;
        Ok::<_, lopdf::Error>((document, written))
    };
    let pack = || {
        file.add_pages(packed, 1);
        both(Each::Large, count, || faces.packed(), || pages::pack(waiting, &numbers))
    };
    let (document, (faces, packed)) = both(Each::Large, count + faces.count(), put_together, pack);
    file.add_pages(packed.map_err(damaged)?, 0);
    let ((mut document, written), faces) = (document.map_err(damaged)?, faces.map_err(damaged)?);
    compress::compress(&mut document, &faces).map_err(damaged)?;
    file.finish(&document, written).map_err(damaged)
}

/// The document with its faces, and its pages. It is made with one page, which shows each glyph once.
fn skeleton(
    drawing: &Drawing,
    sizes: &[Size],
    faces: &Faces,
) -> lopdf::Result<(Document, PageObjects)> {
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
    let pages = take_pages(&mut document, sizes)?;
    Ok((document, pages))
}

/// Makes of the only page all of them, which share its resources and are no objects of the document yet. The contents of
/// pages have the first numbers.
fn take_pages(document: &mut Document, sizes: &[Size]) -> lopdf::Result<PageObjects> {
    let count = u32::try_from(sizes.len()).unwrap_or(u32::MAX);
    document.renumber_objects_with(count.saturating_add(1));
    let Some(first) = document.get_pages().into_values().next() else {
        return Ok(PageObjects::default());
    };
    let page = document.get_dictionary(first)?.clone();
    document.objects.remove(&first);
    document.objects.remove(&page.get(b"Contents")?.as_reference()?);
    let own = ["Contents", "MediaBox", "TrimBox", "CropBox", "Annots"].map(str::as_bytes);
    let shared = page.into_iter().filter(|(key, _)| !own.contains(&key.as_slice()));
    let shared: Dictionary = shared.collect();
    let ids = std::iter::once(first).chain(std::iter::repeat_with(|| document.new_object_id()));
    let pages: Vec<SetPage> =
        sizes.iter().zip(ids).map(|(size, id)| SetPage { id, size: *size }).collect();
    let kids: Vec<Object> = pages.iter().map(|page| page.id.into()).collect();
    let tree = document.get_dictionary_mut(shared.get(b"Parent")?.as_reference()?)?;
    tree.set("Count", kids.len() as i64);
    tree.set("Kids", kids);
    Ok(PageObjects { shared, pages, resources: Vec::new() })
}

fn damaged(error: impl std::fmt::Display) -> WriteError {
    WriteError(format!("the PDF could not be put together: {error}"))
}
