//! Pages as objects of the file (ISO 32000-1, 7.7.3.3).

use super::object;
use super::operand::put_integer;
use super::options::PdfOptions;
use super::place::SetPage;
use super::written::WrittenObjects;
use crate::write::number::round;
use lopdf::{Dictionary, Object, ObjectId};

/// The pages of a document. A book has hundreds, and each shares most of what it says: they are written from that and
/// not made into objects first.
#[derive(Default)]
pub(super) struct PageObjects {
    /// What all of them say.
    pub(super) shared: Dictionary,
    /// Each, in order.
    pub(super) pages: Vec<SetPage>,
    /// Resources of those that do not take the shared ones: by their places in the order.
    pub(super) resources: Vec<(usize, Object)>,
}

/// What one page says beside that.
struct PageObject<'a> {
    index: usize,
    page: SetPage,
    resources: Option<&'a Object>,
    annotations: &'a [ObjectId],
}

impl PageObjects {
    /// Writes them with their boxes and annotations, `tagged` where a structure names what they say.
    pub(super) fn write(
        &self,
        written: &mut WrittenObjects,
        annotations: &[Vec<ObjectId>],
        (options, tagged): (&PdfOptions, bool),
    ) {
        let mut resources = self.resources.iter().peekable();
        let object = |(index, page): (usize, &SetPage)| {
            let own = resources.next_if(|(of, _)| *of == index);
            PageObject {
                index,
                page: *page,
                resources: own.map(|(_, own)| own),
                annotations: annotations.get(index).map_or(&[], Vec::as_slice),
            }
        };
        let objects: Vec<_> = self.pages.iter().enumerate().map(object).collect();
        let ids: Vec<ObjectId> = self.pages.iter().map(|page| page.id).collect();
        written.put_all(&ids, &objects, |out, _, object| self.put(out, object, (options, tagged)));
    }

    fn put(
        &self,
        out: &mut Vec<u8>,
        object: &PageObject<'_>,
        (options, tagged): (&PdfOptions, bool),
    ) {
        let PageObject { index, page, resources, annotations } = *object;
        out.extend_from_slice(b"<<");
        for (key, value) in &self.shared {
            let own = resources.filter(|_| key == b"Resources");
            object::put_entry(out, key, own.unwrap_or(value));
        }
        // The contents of the pages have the first numbers.
        object::put_entry(out, b"Contents", &Object::Reference((index as u32 + 1, 0)));
        put_boxes(out, page, options);
        if !annotations.is_empty() {
            out.extend_from_slice(b"/Annots");
            object::put_references(out, annotations);
        }
        if tagged {
            out.extend_from_slice(b"/StructParents ");
            put_integer(out, index as i64);
            out.extend_from_slice(b"/Tabs/S");
        }
        out.extend_from_slice(b">>");
    }
}

/// Appends the boxes of a page: the trimmed page has its lower left corner at zero; the sheet around it holds bleed and
/// marks (14.11.2).
fn put_boxes(out: &mut Vec<u8>, SetPage { size, .. }: SetPage, options: &PdfOptions) {
    let mut put = |key: &str, by: f64| {
        let corners = [-by, -by, size.width + by, size.height + by];
        let corners = corners.map(|x| Object::from(round(x) as f32)).to_vec();
        object::put_entry(out, key.as_bytes(), &corners.into());
    };
    let slug = options.slug();
    put("TrimBox", 0.0);
    put("MediaBox", slug);
    put("CropBox", slug);
    if slug > 0.0 {
        put("BleedBox", options.bleed.max(0.0));
    }
}
