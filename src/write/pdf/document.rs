//! The document put together: faces, pages, and what stands beside them.

use super::compress;
use super::content::{self, Parts, Writing};
use super::faces::Faces;
use super::file;
use super::finish;
use super::glyphs::GlyphSet;
use super::information::PRODUCER;
use super::noted;
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

/// From so many pages on, half of them are written before what is said beside them is: by then their marks are given
/// up, which are most of what is in memory.
const MANY: usize = 64;

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
    let Prepared { faces, pages, tags, pictures } = prepare(drawing, fonts, &GlyphSet::default())?;
    let each = drawing.pages.iter().zip(&pages).collect();
    let write =
        |(page, parts): (&Page, _)| content(page, &page.nodes, parts, &pictures, (fonts, options));
    finish(drawing, (each, write), (tags, &pictures), (&faces, options))
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
    let Prepared { faces, pages, tags, pictures } = prepare(&drawing, fonts, shown)?;
    let nodes: Vec<Vec<Node>> =
        drawing.pages.iter_mut().map(|page| std::mem::take(&mut page.nodes)).collect();
    let each = drawing.pages.iter().zip(nodes).zip(&pages).collect();
    let write = |((page, nodes), parts): ((&Page, Vec<Node>), _)| {
        content(page, &nodes, parts, &pictures, (fonts, options))
    };
    finish(&drawing, (each, write), (tags, &pictures), (&faces, options))
}

fn check(drawing: &Drawing, options: &PdfOptions) -> Result<(), WriteError> {
    let coloured = drawing.pages.iter().any(|page| page.colours != Colours::default());
    match options.ink {
        InkSpace::Cmyk if coloured => Err(WriteError(COLOURED.to_owned())),
        InkSpace::Cmyk | InkSpace::Gray => Ok(()),
    }
}

/// What is known of a drawing before its pages are written.
struct Prepared {
    faces: Faces,
    /// How each page is cut into parts.
    pages: Vec<Parts>,
    /// The structure that parts of pages belong to.
    tags: Option<Tags>,
    pictures: PictureNumbers,
}

/// Reads a drawing, of which some glyphs were noted before.
fn prepare(drawing: &Drawing, fonts: &Fonts, shown: &GlyphSet) -> Result<Prepared, WriteError> {
    let pages: Vec<&Page> = drawing.pages.iter().collect();
    let note = || map_in_order(Each::Small, pages, |page| noted::note(&page.nodes, fonts, shown));
    let (_, (pages, tags)) = both(Each::Small, drawing.pages.len(), note, || structure(drawing));
    let faces = Faces::of(shown, fonts)?;
    Ok(Prepared { faces, pages, tags, pictures: PictureNumbers::of(drawing) })
}

/// How each page is cut into parts, and the structure that these belong to.
fn structure(drawing: &Drawing) -> (Vec<Parts>, Option<Tags>) {
    // Pages side by side on a sheet are to be folded, not to be listened to.
    let mut tags = (!drawing.imposed).then(|| Tags::new(drawing));
    let parts = drawing.pages.iter().map(|page| Parts::of(page, tags.as_mut())).collect();
    (parts, tags)
}

/// The content of a page with its nodes.
fn content(
    page: &Page,
    nodes: &[Node],
    parts: &Parts,
    pictures: &PictureNumbers,
    (fonts, options): (&Fonts, &PdfOptions),
) -> PageContent {
    let ink = PageInk::of(page.colours, options.ink);
    content::write(page, (nodes, parts), Writing { fonts, options, ink, pictures })
}

/// The file: pages of a drawing, each written and packed at once, and meanwhile all that is said beside them.
fn finish<P: Send>(
    drawing: &Drawing,
    (mut pages, write): (Vec<P>, impl Fn(P) -> PageContent + Send + Sync),
    (tags, pictures): (Option<Tags>, &PictureNumbers),
    (faces, options): (&Faces, &PdfOptions),
) -> Result<Vec<u8>, WriteError> {
    let mut document = skeleton(drawing, faces);
    let mut written = WrittenObjects::default();
    let (count, packed) = (pages.len(), |page| compress::stream(numbered(write(page), faces)));
    let later = pages.split_off(if count < MANY { 0 } else { count / 2 });
    let mut contents = map_in_order(Each::Large, pages, packed);
    let later = || map_in_order(Each::Large, later, packed);
    let beside = || {
        pictures.write(&mut document)?;
        finish::finish((&mut document, &mut written), drawing, options, tags)
    };
    let (later, beside) = both(Each::Large, count, later, beside);
    contents.extend(later);
    beside.map_err(damaged)?;
    fill(&mut document, contents.into_iter().collect::<Result<_, _>>().map_err(damaged)?)
        .map_err(damaged)?;
    compress::compress(&mut document).map_err(damaged)?;
    file::write(&document, written).map_err(damaged)
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
