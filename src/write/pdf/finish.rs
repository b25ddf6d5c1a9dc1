//! What the PDF says beside its pages: information, XMP, outline, page labels, links and boxes.

use super::information::{information, language, xmp};
use super::links;
use super::options::PdfOptions;
use super::outline;
use super::place::SetPage;
use super::tags::Tags;
use super::written::WrittenObjects;
use crate::drawing::Drawing;
use crate::write::number::round;
use kurbo::Size;
use lopdf::{Dictionary, Document, Object, ObjectId, Stream, dictionary};

/// Everything that is not a page's ink, of a drawing whose pages have some sizes; dates, random identifiers and empty entries out.
pub(super) fn finish(
    (document, written): (&mut Document, &mut WrittenObjects),
    (drawing, sizes): (&Drawing, &[Size]),
    options: &PdfOptions,
    tags: Option<Tags>,
) -> lopdf::Result<()> {
    document.version = "1.7".into();
    document.trailer.remove(b"ID");
    information(document, options)?;
    let ids = document.get_pages().into_values();
    let pages: Vec<SetPage> =
        ids.zip(sizes).map(|(id, size)| SetPage { id, size: *size }).collect();
    for page in &pages {
        boxes(document.get_dictionary_mut(page.id)?, page.size, options);
    }
    let tags = tags.filter(|_| !pages.is_empty());
    let links = links::write((document, written), drawing, &pages, tags.is_some())?;
    if let Some(tags) = tags {
        tags.finish((document, written), &pages, &links)?;
    }
    let outline = outline::write((document, written), drawing, &pages);
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

/// The trimmed page has its lower left corner at zero; the sheet around it holds bleed and marks
/// (ISO 32000-1, 14.11.2).
fn boxes(dict: &mut Dictionary, page: Size, options: &PdfOptions) {
    let grown = |by: f64| -> Object {
        [-by, -by, page.width + by, page.height + by]
            .map(|x| Object::from(round(x) as f32))
            .to_vec()
            .into()
    };
    dict.set("TrimBox", grown(0.0));
    let bleed = options.bleed.max(0.0);
    let slug = options.slug();
    dict.set("MediaBox", grown(slug));
    dict.set("CropBox", grown(slug));
    if slug > 0.0 {
        dict.set("BleedBox", grown(bleed));
    }
}
