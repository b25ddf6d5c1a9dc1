//! The structure as it is written (ISO 32000-1, 14.7): its elements, and which of them marked content and links belong
//! to.

use super::elements::{Element, ElementId, Elements, Kid};
use super::links::{WrittenLink, link_key};
use super::long_list::STRETCH;
use super::object::{self, put_reference};
use super::operand::put_integer;
use super::place::SetPage;
use super::written::WrittenObjects;
use lopdf::{Document, ObjectId, dictionary};

/// The structure of a document, with the objects it names.
pub(super) struct StructureTree<'a> {
    elements: &'a Elements,
    /// The object of each element.
    ids: Vec<ObjectId>,
    root: ObjectId,
    pages: &'a [SetPage],
    links: &'a [WrittenLink<'a>],
}

impl<'a> StructureTree<'a> {
    /// A structure whose elements get new numbers of a document.
    pub(super) fn new(
        document: &mut Document,
        elements: &'a Elements,
        pages: &'a [SetPage],
        links: &'a [WrittenLink<'a>],
    ) -> Self {
        let root = document.new_object_id();
        let ids = (0..elements.len()).map(|_| document.new_object_id()).collect();
        Self { elements, ids, root, pages, links }
    }

    /// Writes it, and names it in the catalogue. For each page there is the element of each marked
    /// content, and for each link its element.
    pub(super) fn write(
        self,
        (document, written): (&mut Document, &mut WrittenObjects),
        contents: &[Vec<ElementId>],
        links: &[ElementId],
    ) -> lopdf::Result<()> {
        let stretches = self.ids.chunks(STRETCH).zip(self.elements.stretches());
        for (nth, (ids, elements)) in stretches.enumerate() {
            let put = |out: &mut Vec<u8>, before, element: &_| {
                self.put_element(out, nth * STRETCH + before, element);
            };
            written.put_all(ids, elements, put);
        }
        let parents = self.put_parents((contents, links), document, written);
        let dict = dictionary! {
            "Type" => "StructTreeRoot",
            "K" => vec![self.id_of(ElementId::DOCUMENT).into()],
            "ParentTree" => parents,
            "ParentTreeNextKey" => (self.pages.len() + self.links.len()) as i64,
        };
        written.put(self.root, &dict.into());
        let catalog = document.catalog_mut()?;
        catalog.set("StructTreeRoot", self.root);
        catalog.set("MarkInfo", dictionary! { "Marked" => true });
        Ok(())
    }

    fn id_of(&self, element: ElementId) -> ObjectId {
        self.ids.get(element.index()).copied().unwrap_or(self.root)
    }

    /// Appends an element with its kids (14.7.2). A book has tens of thousands, so that they are not made into objects
    /// first. Of what type they are need not be said.
    fn put_element(&self, out: &mut Vec<u8>, number: usize, element: &Element) {
        let home = self.elements.kids(element).find_map(|kid| match kid {
            Kid::Content(page, _) => Some(page),
            Kid::Element(_) | Kid::Link(_) => None,
        });
        out.extend_from_slice(b"<</S/");
        out.extend_from_slice(element.kind.as_bytes());
        out.extend_from_slice(b"/P ");
        put_reference(out, element.parent.map_or(self.root, |parent| self.id_of(parent)));
        out.extend_from_slice(b"/K[");
        for (nth, kid) in self.elements.kids(element).enumerate() {
            if nth > 0 {
                out.push(b' ');
            }
            self.put_kid(out, kid, home);
        }
        out.push(b']');
        if let Some(page) = home.and_then(|page| self.pages.get(page as usize)) {
            out.extend_from_slice(b"/Pg ");
            put_reference(out, page.id);
        }
        match element.kind {
            // ISO 14289-1, 7.5 and 7.9: a cell of a head says what it heads, and a note has a name.
            "TH" => out.extend_from_slice(b"/A<</O/Table/Scope/Column>>"),
            "Note" => out.extend_from_slice(format!("/ID(note{number:06})").as_bytes()),
            _ => {}
        }
        if let Some(said) = &element.said {
            out.extend_from_slice(b"/Alt");
            object::put(out, &lopdf::text_string(said));
        }
        out.extend_from_slice(b">>");
    }

    /// Appends a kid of an element whose page is `home`.
    fn put_kid(&self, out: &mut Vec<u8>, kid: Kid, home: Option<u32>) {
        match kid {
            Kid::Element(kid) => put_reference(out, self.id_of(kid)),
            Kid::Content(page, number) if Some(page) == home => put_integer(out, number.into()),
            Kid::Content(page, number) => {
                let Some(page) = self.pages.get(page as usize) else { return };
                out.extend_from_slice(b"<</Type/MCR/Pg ");
                put_reference(out, page.id);
                out.extend_from_slice(b"/MCID ");
                put_integer(out, number.into());
                out.extend_from_slice(b">>");
            }
            Kid::Link(link) => {
                let Some(link) = self.links.get(link as usize) else { return };
                out.extend_from_slice(b"<</Type/OBJR/Obj ");
                put_reference(out, link.annotation);
                out.extend_from_slice(b">>");
            }
        }
    }

    /// Writes which elements marked content and links belong to (ISO 32000-1, 14.7.4.4): a list for each page, and all
    /// by their keys, which are written too and not made into objects first.
    fn put_parents(
        &self,
        (contents, links): (&[Vec<ElementId>], &[ElementId]),
        document: &mut Document,
        written: &mut WrittenObjects,
    ) -> ObjectId {
        let mut keys = Vec::new();
        let mut key = |key: i64, parent: ObjectId| {
            put_integer(&mut keys, key);
            keys.push(b' ');
            put_reference(&mut keys, parent);
            keys.push(b' ');
        };
        for (index, contents) in contents.iter().enumerate().take(self.pages.len()) {
            let parents: Vec<ObjectId> = contents.iter().map(|at| self.id_of(*at)).collect();
            let id = document.new_object_id();
            written.put_with(id, |out| object::put_references(out, &parents));
            key(index as i64, id);
        }
        for (index, element) in links.iter().enumerate() {
            key(link_key(self.pages.len(), index), self.id_of(*element));
        }
        let id = document.new_object_id();
        written.put_with(id, |out| {
            out.extend_from_slice(b"<</Nums[");
            out.extend_from_slice(keys.trim_ascii_end());
            out.extend_from_slice(b"]>>");
        });
        id
    }
}
