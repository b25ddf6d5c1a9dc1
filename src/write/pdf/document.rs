//! The document put together: faces, pages, and what stands beside them.

use super::compress;
use super::content::{self, Parts, Writing};
use super::faces::Faces;
use super::file;
use super::finish;
use super::glyphs::GlyphSet;
use super::information::PRODUCER;
use super::numbered::numbered;
use super::options::{InkSpace, PdfOptions};
use super::page_content::PageContent;
use super::page_ink::PageInk;
use super::pictures::PictureNumbers;
use super::place::points;
use super::tags::Tags;
use super::written::WrittenObjects;
use crate::drawing::{Colours, Drawing, Node, Page};
use crate::font::Fonts;
use crate::parallel::{Each, both, map_in_order};
use crate::write::error::WriteError;
use lopdf::{Document, Stream};
use printpdf::{PdfDocument, PdfPage, PdfSaveOptions, Rect};

/// Why black ink alone can't print what has colours.
const COLOURED: &str = "a press is given black ink alone, and the text asks for colours; take `ink:` and \
    `background:` out of it, or build it without --cmyk";

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
    check(drawing, options)?;
    let shown = GlyphSet::default();
    let (pages, beside) = structure(drawing);
    let each = drawing.pages.iter().zip(&pages).collect();
    let contents = map_in_order(Each::Large, each, |(page, parts)| {
        content(page, &page.nodes, parts, &beside.pictures, (fonts, options, &shown))
    });
    finish(drawing, (contents, beside), (fonts, options, &shown))
}

/// The same of a drawing that nobody needs any more: its marks are given up as soon as they are written.
///
/// # Errors
/// As [`write_with`].
pub fn write_and_drop(
    drawing: Drawing,
    fonts: &Fonts,
    options: &PdfOptions,
) -> Result<Vec<u8>, WriteError> {
    write_showing(drawing, (fonts, options, &GlyphSet::default()))
}

/// The same, where some glyphs that are shown were noted before.
pub(super) fn write_showing(
    mut drawing: Drawing,
    (fonts, options, shown): (&Fonts, &PdfOptions, &GlyphSet),
) -> Result<Vec<u8>, WriteError> {
    check(&drawing, options)?;
    let (pages, beside) = structure(&drawing);
    let nodes: Vec<Vec<Node>> =
        drawing.pages.iter_mut().map(|page| std::mem::take(&mut page.nodes)).collect();
    let each = drawing.pages.iter().zip(nodes).zip(&pages).collect();
    let contents = map_in_order(Each::Large, each, |((page, nodes), parts): ((&Page, _), _)| {
        let nodes: Vec<Node> = nodes;
        content(page, &nodes, parts, &beside.pictures, (fonts, options, shown))
    });
    finish(&drawing, (contents, beside), (fonts, options, shown))
}

fn check(drawing: &Drawing, options: &PdfOptions) -> Result<(), WriteError> {
    let coloured = drawing.pages.iter().any(|page| page.colours != Colours::default());
    match options.ink {
        InkSpace::Cmyk if coloured => Err(WriteError(COLOURED.to_owned())),
        InkSpace::Cmyk | InkSpace::Gray => Ok(()),
    }
}

/// What marks of pages lead to beside them.
struct Beside {
    /// The structure that parts of pages belong to.
    tags: Option<Tags>,
    pictures: PictureNumbers,
}

/// How each page is cut into parts, and what these lead to.
fn structure(drawing: &Drawing) -> (Vec<Parts>, Beside) {
    // Pages side by side on a sheet are to be folded, not to be listened to.
    let mut tags = (!drawing.imposed).then(|| Tags::new(drawing));
    let parts = drawing.pages.iter().map(|page| Parts::of(page, tags.as_mut())).collect();
    (parts, Beside { tags, pictures: PictureNumbers::of(drawing) })
}

/// The content of a page with its nodes, whose glyphs are noted.
fn content(
    page: &Page,
    nodes: &[Node],
    parts: &Parts,
    pictures: &PictureNumbers,
    (fonts, options, shown): (&Fonts, &PdfOptions, &GlyphSet),
) -> PageContent {
    let ink = PageInk::of(page.colours, options.ink);
    content::write(page, (nodes, parts), Writing { fonts, options, ink, shown, pictures })
}

/// The file: the contents of the pages of a drawing, whose marks are not read, and meanwhile all that is said beside
/// them.
fn finish(
    drawing: &Drawing,
    (contents, Beside { tags, pictures }): (Vec<PageContent>, Beside),
    (fonts, options, shown): (&Fonts, &PdfOptions, &GlyphSet),
) -> Result<Vec<u8>, WriteError> {
    let faces = Faces::of(shown, fonts)?;
    let mut document = skeleton(drawing, &faces);
    let mut written = WrittenObjects::default();
    let (count, small) = (contents.len(), |content| compress::stream(numbered(content, &faces)));
    let contents = || map_in_order(Each::Large, contents, small);
    let beside = || {
        pictures.write(&mut document)?;
        finish::finish((&mut document, &mut written), drawing, options, tags)
    };
    let (contents, beside) = both(Each::Large, count, contents, beside);
    beside.map_err(damaged)?;
    fill(&mut document, contents.into_iter().collect::<Result<_, _>>().map_err(damaged)?)
        .map_err(damaged)?;
    compress::compress(&mut document).map_err(damaged)?;
    file::write(&document, &written).map_err(damaged)
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
