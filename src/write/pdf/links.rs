//! Links: from places on pages to entries of the outline, and to the web.

use super::long_list::STRETCH;
use super::object;
use super::operand::put_integer;
use super::place::{SetPage, put_corners, put_destination};
use super::written::WrittenObjects;
use crate::drawing::{Drawing, Link, Prose};
use kurbo::{Rect, Size};
use lopdf::{Document, Object, ObjectId};

/// The number under which the structure names the link of an index; the link names it too.
pub(super) fn link_key(pages: usize, link: usize) -> i64 {
    (pages + link) as i64
}

/// A link that is written.
#[derive(Debug)]
pub(super) struct WrittenLink<'a> {
    pub(super) annotation: ObjectId,
    /// The words that lead there, where they are part of the structure.
    pub(super) words: Option<&'a Prose>,
    /// Where it leads, for a listener.
    pub(super) said: &'a str,
}

/// A link that is to be written.
struct NewLink<'a> {
    page: Size,
    area: Rect,
    aim: Aim<'a>,
    /// The number under which the structure names it, where there is one.
    key: Option<i64>,
}

/// Where a link leads.
enum Aim<'a> {
    /// To a height of a page, given with its object, under a title.
    Inside { page: SetPage, y: f64, title: &'a str },
    /// To an address of the web.
    Outside(&'a str),
}

/// Writes every link, `tagged` where a structure names it; the annotations of each page come with them.
pub(super) fn write<'a>(
    (document, written): (&mut Document, &mut WrittenObjects),
    drawing: &'a Drawing,
    pages: &[SetPage],
    tagged: bool,
) -> (Vec<WrittenLink<'a>>, Vec<Vec<ObjectId>>) {
    let inside = drawing.links.iter().filter_map(|link| {
        let page = pages.get(link.page)?.size;
        Some((link.page, page, link.area, inside(drawing, pages, link)?, &link.said))
    });
    let outside = drawing.addresses.iter().filter_map(|link| {
        let page = pages.get(link.page)?.size;
        Some((link.page, page, link.area, Aim::Outside(&link.address), &link.said))
    });
    let mut made = Vec::with_capacity(drawing.links.len() + drawing.addresses.len());
    let (mut ids, mut new) = (Vec::new(), Vec::new());
    let put = |out: &mut Vec<u8>, _, link: &NewLink<'_>| link.put(out);
    let mut annotations: Vec<Vec<ObjectId>> = vec![Vec::new(); pages.len()];
    for (on, page, area, aim, words) in inside.chain(outside) {
        let annotation = document.new_object_id();
        let key = tagged.then(|| link_key(pages.len(), made.len()));
        made.push(WrittenLink { annotation, words: words.as_ref(), said: aim.said() });
        if let Some(list) = annotations.get_mut(on) {
            list.push(annotation);
        }
        ids.push(annotation);
        new.push(NewLink { page, area, aim, key });
        // A long book has tens of thousands; so many fill packs.
        if new.len() == STRETCH {
            written.put_all(&ids, &new, put);
            ids.clear();
            new.clear();
        }
    }
    written.put_all(&ids, &new, put);
    (made, annotations)
}

/// Where a link to an entry of the outline leads; nothing where its end is on no page.
fn inside<'a>(drawing: &'a Drawing, pages: &[SetPage], link: &Link) -> Option<Aim<'a>> {
    let to = drawing.outline.get(link.to)?;
    let (own, y) = link.line.map_or((to.page, to.y), |line| (line.page, line.y));
    Some(Aim::Inside { page: *pages.get(own)?, y, title: &to.title })
}

impl<'a> Aim<'a> {
    /// The same for a listener.
    fn said(&self) -> &'a str {
        match self {
            Self::Inside { title, .. } => title,
            Self::Outside(address) => address,
        }
    }
}

impl NewLink<'_> {
    /// Appends the annotation: a place of a page that leads somewhere, without a frame, printed as it is seen
    /// (ISO 32000-1, 12.5.3). A book has thousands, so that they are not made into objects first.
    fn put(&self, out: &mut Vec<u8>) {
        out.extend_from_slice(b"<</Type/Annot/Subtype/Link/Rect");
        put_corners(out, self.page, self.area);
        out.extend_from_slice(b"/F 4/Border[0 0 0]/Contents");
        object::put(out, &lopdf::text_string(self.aim.said()));
        match self.aim {
            Aim::Inside { page, y, .. } => {
                out.extend_from_slice(b"/Dest");
                put_destination(out, page, y);
            }
            Aim::Outside(address) => {
                out.extend_from_slice(b"/A<</S/URI/URI");
                object::put(out, &Object::string_literal(ascii(address)));
                out.extend_from_slice(b">>");
            }
        }
        if let Some(key) = self.key {
            out.extend_from_slice(b"/StructParent ");
            put_integer(out, key);
        }
        out.extend_from_slice(b">>");
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
