//! Links: from places on pages to entries of the outline, and to the web.

use super::place::{corners, destination};
use super::tags::link_key;
use super::written::WrittenObjects;
use crate::drawing::{Drawing, Link, Page, Prose, WebLink};
use kurbo::Rect;
use lopdf::{Dictionary, Document, Object, ObjectId, dictionary};

/// Writes every link, `tagged` where a structure names it; the annotation of each, and the words that
/// lead there.
pub(super) fn write(
    (document, written): (&mut Document, &mut WrittenObjects),
    drawing: &Drawing,
    pages: &[ObjectId],
    tagged: bool,
) -> lopdf::Result<Vec<(ObjectId, Option<Prose>)>> {
    let mut made = Vec::new();
    let mut annotations: Vec<Vec<Object>> = vec![Vec::new(); pages.len()];
    for link in &drawing.links {
        let Some(mut dict) = inside(drawing, pages, link) else { continue };
        if tagged {
            dict.set("StructParent", link_key(pages.len(), made.len()));
        }
        let annotation = written.add(document, dict);
        made.push((annotation, link.said.clone()));
        if let Some(list) = annotations.get_mut(link.page) {
            list.push(annotation.into());
        }
    }
    for link in &drawing.addresses {
        if let (Some(page), Some(list)) =
            (drawing.pages.get(link.page), annotations.get_mut(link.page))
        {
            let mut dict = outside(page, link);
            if tagged {
                dict.set("StructParent", link_key(pages.len(), made.len()));
            }
            let annotation = written.add(document, dict);
            made.push((annotation, link.said.clone()));
            list.push(annotation.into());
        }
    }
    for (id, list) in pages.iter().zip(annotations).filter(|(_, list)| !list.is_empty()) {
        document.get_dictionary_mut(*id)?.set("Annots", list);
    }
    Ok(made)
}

/// A link to an entry of the outline; nothing where its ends are on no page.
fn inside(drawing: &Drawing, pages: &[ObjectId], link: &Link) -> Option<Dictionary> {
    let page = drawing.pages.get(link.page)?;
    let to = drawing.outline.get(link.to)?;
    let aim = destination(drawing.pages.get(to.page)?, *pages.get(to.page)?, to.y);
    let mut dict = annotation(page, link.area, &to.title);
    dict.set("Dest", aim);
    Some(dict)
}

/// A link to the web.
fn outside(page: &Page, link: &WebLink) -> Dictionary {
    let address = Object::string_literal(ascii(&link.address));
    let mut dict = annotation(page, link.area, &link.address);
    dict.set("A", dictionary! { "S" => "URI", "URI" => address });
    dict
}

/// A place of a page that leads somewhere, without a frame.
fn annotation(page: &Page, area: Rect, said: &str) -> Dictionary {
    dictionary! {
        "Type" => "Annot",
        "Subtype" => "Link",
        "Rect" => corners(page, area),
        "Border" => vec![0.into(), 0.into(), 0.into()],
        "Contents" => lopdf::text_string(said),
    }
}

/// An address in ASCII (RFC 3986, section 2.1: other bytes are percent-encoded).
fn ascii(address: &str) -> String {
    let byte = |byte: u8| match byte {
        b'!'..=b'~' => char::from(byte).to_string(),
        _ => format!("%{byte:02X}"),
    };
    address.bytes().map(byte).collect()
}
