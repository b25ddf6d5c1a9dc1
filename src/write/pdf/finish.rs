//! What the PDF says beside the ink of its pages: information, XMP, outline, page labels, links, and the pages
//! themselves.

use super::information::{information, language, xmp};
use super::links;
use super::options::PdfOptions;
use super::outline;
use super::page_objects::PageObjects;
use super::tags::Tags;
use super::written::WrittenObjects;
use crate::drawing::Drawing;
use lopdf::{Dictionary, Document, Object, ObjectId, Stream, dictionary};

/// Everything that is not a page's ink, of a drawing and its pages; dates, random identifiers and empty entries out.
pub(super) fn finish(
    (document, written): (&mut Document, &mut WrittenObjects),
    (drawing, objects): (&Drawing, &PageObjects),
    options: &PdfOptions,
    tags: Option<Tags>,
) -> lopdf::Result<()> {
    document.trailer.remove(b"ID");
    information(document, options)?;
    let pages = &objects.pages;
    let tags = tags.filter(|_| !pages.is_empty());
    let tagged = tags.is_some();
    let (links, annotations) = links::write((document, written), drawing, pages, tagged);
    objects.write(written, &annotations, (options, tagged));
    drop(annotations);
    if let Some(tags) = tags {
        tags.finish((document, written), pages, &links)?;
    }
    let outline = outline::write((document, written), drawing, pages);
    let metadata = (!pages.is_empty()).then(|| metadata(document, drawing, options));
    let catalog = document.catalog_mut()?;
    catalog.set("Lang", Object::string_literal(language(drawing)));
    if drawing.title.is_some() {
        catalog.set("ViewerPreferences", dictionary! { "DisplayDocTitle" => true });
    }
    if let Some(metadata) = metadata {
        catalog.set("Metadata", metadata);
    }
    if let Some(outline) = outline {
        catalog.set("Outlines", outline);
        catalog.set("PageMode", "UseOutlines");
    }
    if pages.len() > 1 && !drawing.imposed {
        catalog.set("PageLabels", page_labels(drawing));
    }
    Ok(())
}

/// The XMP packet as an object of the file.
fn metadata(document: &mut Document, drawing: &Drawing, options: &PdfOptions) -> ObjectId {
    let dict = dictionary! { "Type" => "Metadata", "Subtype" => "XML" };
    let xmp = xmp(drawing, options).into_bytes();
    // Kept readable, so that programs that know no PDF find it (ISO 32000-1, 14.3.2).
    document.add_object(Stream::new(dict, xmp).with_compression(false))
}

/// How the pages are numbered (ISO 32000-1, 12.4.2).
fn page_labels(drawing: &Drawing) -> Dictionary {
    let decimal = |first: i64| -> Object { dictionary! { "S" => "D", "St" => first }.into() };
    let nums = match i64::try_from(drawing.front) {
        Ok(front) if front > 0 => {
            vec![0.into(), dictionary! { "S" => "r" }.into(), front.into(), decimal(1)]
        }
        _ => vec![0.into(), dictionary! { "S" => "D" }.into()],
    };
    dictionary! { "Nums" => nums }
}
