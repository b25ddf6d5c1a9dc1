//! PDF 1.7 (ISO 32000-1): ink as filled paths, words and music as glyphs of embedded subset
//! fonts. Words can be searched and copied; music signs stay out of copied text. Nothing depends
//! on the clock or on chance: the same drawing gives the same bytes.

mod content;
mod faces;

use crate::drawing::{Drawing, Page};
use crate::font::{FontError, Fonts};
use faces::Faces;
use lopdf::{Dictionary, Object};
use printpdf::{PdfDocument, PdfPage, PdfSaveOptions, Pt, Rect};

/// The program that made the file, in the file's information.
const PRODUCER: &str = concat!("Flamacue ", env!("CARGO_PKG_VERSION"));

/// The drawing as one PDF file with subset fonts.
///
/// # Errors
/// Says which face could not be embedded.
pub fn write(drawing: &Drawing, fonts: &Fonts) -> Result<Vec<u8>, FontError> {
    let faces = Faces::collect(drawing, fonts)?;
    let mut document = PdfDocument::new("");
    let info = &mut document.metadata.info;
    info.document_title = drawing.title.clone().unwrap_or_default();
    info.author = drawing.author.clone().unwrap_or_default();
    info.producer = PRODUCER.into();
    faces.embed(&mut document);
    document.pages = drawing
        .pages
        .iter()
        .map(|page| {
            let sheet = sheet(page);
            PdfPage {
                media_box: sheet.clone(),
                trim_box: sheet.clone(),
                crop_box: sheet,
                ops: content::operators(page, fonts, &faces),
            }
        })
        .collect();

    let mut document =
        printpdf::serialize::to_lopdf_doc(&document, &PdfSaveOptions::default(), &mut Vec::new());
    finish(&mut document, drawing).map_err(damaged)?;
    document.compress();
    let mut bytes = Vec::new();
    document.save_to(&mut bytes).map_err(damaged)?;
    Ok(bytes)
}

fn damaged(error: impl std::fmt::Display) -> FontError {
    FontError(format!("the PDF could not be put together: {error}"))
}

fn sheet(page: &Page) -> Rect {
    let side = |length: f64| Pt(super::number::round(length) as f32);
    Rect::from_wh(side(page.width), side(page.height))
}

/// The document's language and the viewer's window title in; dates, random identifiers and empty
/// entries out.
fn finish(document: &mut lopdf::Document, drawing: &Drawing) -> lopdf::Result<()> {
    document.version = "1.7".into();
    document.trailer.remove(b"ID");
    let info = document.trailer.get(b"Info")?.as_reference()?;
    let info = document.get_dictionary_mut(info)?;
    for entry in [&b"CreationDate"[..], b"ModDate", b"GTS_PDFXVersion", b"Identifier", b"Trapped"] {
        info.remove(entry);
    }
    let empty: Vec<Vec<u8>> = info
        .iter()
        .filter(|(_, value)| value.as_str().is_ok_and(|words| words.is_empty()))
        .map(|(key, _)| key.clone())
        .collect();
    for key in empty {
        info.remove(&key);
    }

    let catalog = document.catalog_mut()?;
    if let Some(language) = &drawing.language {
        catalog.set("Lang", Object::string_literal(language.as_str()));
    }
    if drawing.title.is_some() {
        let mut preferences = Dictionary::new();
        preferences.set("DisplayDocTitle", true);
        catalog.set("ViewerPreferences", preferences);
    }
    Ok(())
}
