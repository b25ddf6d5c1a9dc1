//! PDF 1.7 (ISO 32000-1): ink as filled paths, words and music as glyphs of embedded subset
//! fonts. Words can be searched and copied; music signs stay out of copied text. Nothing depends
//! on the clock or on chance: the same drawing gives the same bytes.

mod compress;
mod content;
mod faces;
mod finish;
mod tags;

use crate::drawing::{Drawing, Page};
use crate::font::{FontError, Fonts};
use faces::Faces;
use printpdf::{PdfDocument, PdfPage, PdfSaveOptions, Pt, Rect};
use tags::Tags;

/// The program that made the file, in the file's information.
const PRODUCER: &str = concat!("Flamacue ", env!("CARGO_PKG_VERSION"));

/// How a file is made for a printer. The usual one is for any printer: no bleed, no marks, gray.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct PdfOptions {
    /// Room around the trimmed page that is cut away, in points.
    pub bleed: f64,
    /// Whether lines outside the page show where to cut.
    pub crop_marks: bool,
    /// The colours ink is named in.
    pub ink: InkSpace,
    /// When the file was made, in seconds after the start of 1970; unsaid where there is none.
    pub date: Option<i64>,
}

/// The colours ink is named in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum InkSpace {
    /// Gray.
    #[default]
    Gray,
    /// Cyan, magenta, yellow and black, of which only black is used.
    Cmyk,
}

/// Length of a crop mark, in points: 5 mm, common practice, no source.
const CROP_MARK: f64 = 5.0 / 25.4 * 72.0;
/// A crop mark keeps so far from the page, so that it is cut away: 3 mm, common practice, no source.
const CROP_GAP: f64 = 3.0 / 25.4 * 72.0;

impl PdfOptions {
    /// How far the sheet reaches beyond the trimmed page, in points.
    fn slug(&self) -> f64 {
        let marks = if self.crop_marks { self.bleed.max(CROP_GAP) + CROP_MARK } else { 0.0 };
        self.bleed.max(0.0).max(marks)
    }
}

/// The drawing as one PDF file with subset fonts.
///
/// # Errors
/// Says which face could not be embedded.
pub fn write(drawing: &Drawing, fonts: &Fonts) -> Result<Vec<u8>, FontError> {
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
) -> Result<Vec<u8>, FontError> {
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

fn damaged(error: impl std::fmt::Display) -> FontError {
    FontError(format!("the PDF could not be put together: {error}"))
}

fn sheet(page: &Page) -> Rect {
    let side = |length: f64| Pt(super::number::round(length) as f32);
    Rect::from_wh(side(page.width), side(page.height))
}
