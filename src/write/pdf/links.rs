//! Links: from places on pages to entries of the outline, and to the web.

use super::place::{corners, destination};
use super::written::WrittenObjects;
use crate::drawing::{Drawing, Link, Page, Prose, WebLink};
use kurbo::Rect;
use lopdf::{Dictionary, Document, Object, ObjectId, dictionary};

/// The number under which the structure names the link of an index; the link names it too.
pub(super) fn link_key(pages: usize, link: usize) -> i64 {
    (pages + link) as i64
}

/// A link that is written.
#[derive(Debug)]
pub(super) struct WrittenLink {
    pub(super) annotation: ObjectId,
    /// The words that lead there, where they are part of the structure.
    pub(super) words: Option<Prose>,
    /// Where it leads, for a listener.
    pub(super) said: String,
}

/// Writes every link, `tagged` where a structure names it.
pub(super) fn write(
    (document, written): (&mut Document, &mut WrittenObjects),
    drawing: &Drawing,
    pages: &[ObjectId],
    tagged: bool,
) -> lopdf::Result<Vec<WrittenLink>> {
    let mut made = Vec::new();
    let mut annotations: Vec<Vec<Object>> = vec![Vec::new(); pages.len()];
    for link in &drawing.links {
        let Some(mut dict) = inside(drawing, pages, link) else { continue };
        if tagged {
            dict.set("StructParent", link_key(pages.len(), made.len()));
        }
        let annotation = written.add(document, dict);
        let said = drawing.outline.get(link.to).map_or(String::new(), |to| to.title.to_string());
        made.push(WrittenLink { annotation, words: link.said.clone(), said });
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
            let (words, said) = (link.said.clone(), link.address.clone());
            made.push(WrittenLink { annotation, words, said });
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
    let (own, y) = link.line.map_or((to.page, to.y), |line| (line.page, line.y));
    let aim = destination(drawing.pages.get(own)?, *pages.get(own)?, y);
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
        // Printed as it is seen (12.5.3).
        "F" => 4,
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
