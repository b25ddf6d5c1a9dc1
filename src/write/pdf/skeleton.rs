//! The document before anything is shown on its pages: its faces, its pages, and what it says of itself.

use super::faces::Faces;
use super::information::PRODUCER;
use super::place::points;
use crate::drawing::{Drawing, Page};
use lopdf::{Dictionary, Document, Object, ObjectId, Stream, StringFormat, dictionary};

/// The document of a drawing, whose pages have no content yet.
pub(super) fn skeleton(drawing: &Drawing, faces: &Faces) -> Document {
    let mut document = Document::new();
    let tree = document.new_object_id();
    let fonts = faces.add(&mut document);
    let resources = Resources {
        fonts: document.add_object(fonts),
        pictures: document.add_object(Dictionary::new()),
        states: document.add_object(Dictionary::new()),
        shadings: document.add_object(Dictionary::new()),
    };
    let ids: Vec<ObjectId> = drawing.pages.iter().map(|_| document.new_object_id()).collect();
    for (id, page) in ids.iter().zip(&drawing.pages) {
        let page = page_object(&mut document, page, (tree, &resources));
        document.set_object(*id, page);
    }
    let kids: Vec<Object> = ids.iter().map(|id| (*id).into()).collect();
    let tree_object =
        dictionary! { "Type" => "Pages", "Count" => kids.len() as i64, "Kids" => kids };
    document.set_object(tree, tree_object);
    let catalog = document.add_object(dictionary! {
        "Type" => "Catalog",
        "PageLayout" => "OneColumn",
        "PageMode" => "UseNone",
        "Pages" => tree,
    });
    let said = |words: &Option<String>| said(words.as_deref().unwrap_or_default());
    let information = document.add_object(dictionary! {
        "Author" => said(&drawing.author),
        "Title" => said(&drawing.title),
        "Producer" => said(&Some(PRODUCER.to_owned())),
    });
    document.trailer.set("Root", catalog);
    document.trailer.set("Info", information);
    document
}

/// What pages name for their content to use, one table for each kind; all but the fonts are empty.
struct Resources {
    fonts: ObjectId,
    pictures: ObjectId,
    states: ObjectId,
    shadings: ObjectId,
}

/// A page with a content that is empty.
fn page_object(
    document: &mut Document,
    page: &Page,
    (tree, resources): (ObjectId, &Resources),
) -> Dictionary {
    let sheet = || -> Vec<Object> {
        [0.0, 0.0, points(page.width), points(page.height)].map(Object::from).to_vec()
    };
    let resources = document.add_object(dictionary! {
        "Font" => resources.fonts,
        "XObject" => resources.pictures,
        "ExtGState" => resources.states,
        "Shading" => resources.shadings,
    });
    dictionary! {
        "Type" => "Page",
        "MediaBox" => sheet(),
        "TrimBox" => sheet(),
        "CropBox" => sheet(),
        "Parent" => tree,
        "Resources" => resources,
        "Contents" => document.add_object(Stream::new(Dictionary::new(), Vec::new())),
        "Annots" => Vec::<Object>::new(),
    }
}

/// Words about the document, in UTF-16 with its mark (ISO 32000-1, 7.9.2.2).
fn said(words: &str) -> Object {
    if words.is_empty() {
        return Object::string_literal("");
    }
    let units = std::iter::once(0xFEFF).chain(words.encode_utf16());
    Object::String(units.flat_map(u16::to_be_bytes).collect(), StringFormat::Hexadecimal)
}
