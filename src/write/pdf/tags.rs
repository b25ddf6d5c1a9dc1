//! What the pages say to a reader who listens (ISO 32000-1, 14.7 and 14.8): headings, paragraphs,
//! lists and the contents in reading order, and each block as a figure with its counting and its
//! sticking read aloud. What only the eye needs is an artifact.

use super::links::{WrittenLink, link_key};
use super::written::WrittenObjects;
use crate::drawing::prose::{BodyProse, Role};
use crate::drawing::{Drawing, GroupKind, Kind, Node, Prose};
use lopdf::{Dictionary, Document, Object, ObjectId, dictionary};
use std::collections::BTreeMap;

/// What part of a page is, for its marked content.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Part {
    /// Marked content of an element.
    Said(usize),
    /// Nothing to say.
    Artifact,
}

/// How marked content of a page is opened.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum MarkedContent {
    /// Of an element: its kind, and the content's number on the page.
    Said { tag: &'static str, number: usize },
    /// Nothing to say.
    Artifact,
}

/// An element of the structure.
#[derive(Debug)]
struct Element {
    kind: &'static str,
    parent: Option<usize>,
    said: String,
    kids: Vec<Kid>,
}

#[derive(Clone, Copy, Debug)]
enum Kid {
    Element(usize),
    /// Marked content of a page, both by index.
    Content(usize, usize),
    /// A link, by its index.
    Link(usize),
}

/// The structure as it grows with the pages.
#[derive(Debug)]
pub(super) struct Tags {
    elements: Vec<Element>,
    /// For each page, the element of each marked content.
    pages: Vec<Vec<usize>>,
    prose: BTreeMap<Prose, usize>,
    /// The elements of links, in the order of these.
    links: Vec<usize>,
    contents: Option<usize>,
    /// The last figure and what it says: a block goes on over the page.
    figure: Option<(String, String, usize)>,
    titled: bool,
    /// The level of the last heading, from 1.
    level: usize,
}

const DOCUMENT: usize = 0;

/// Headings from the highest.
const HEADINGS: [&str; 3] = ["H1", "H2", "H3"];

impl Tags {
    pub(super) fn new(drawing: &Drawing) -> Self {
        let root =
            Element { kind: "Document", parent: None, said: String::new(), kids: Vec::new() };
        Self {
            elements: vec![root],
            pages: Vec::new(),
            prose: BTreeMap::new(),
            links: Vec::new(),
            contents: None,
            figure: None,
            titled: drawing.title.is_some(),
            level: 0,
        }
    }

    /// Begins the next page.
    pub(super) fn page(&mut self) {
        self.pages.push(Vec::new());
    }

    /// What a node of a page is part of.
    pub(super) fn part(&mut self, node: &Node) -> Part {
        match node {
            Node::Group(group) => match &group.kind {
                GroupKind::Prose(Prose::Decoration) => Part::Artifact,
                GroupKind::Prose(prose) => Part::Said(self.prose(prose)),
                GroupKind::Block { title, spoken, .. } => Part::Said(self.figure(title, spoken)),
                GroupKind::System
                | GroupKind::Player(_)
                | GroupKind::Bar { .. }
                | GroupKind::SmallNotes
                | GroupKind::Note { .. } => Part::Said(self.add("P", DOCUMENT)),
            },
            Node::Mark(mark) if matches!(mark.kind, Kind::Foot | Kind::RunningHead) => {
                Part::Artifact
            }
            Node::Mark(_) | Node::Inset(_) => Part::Said(self.add("P", DOCUMENT)),
        }
    }

    /// The marked content of a part that follows on the page.
    pub(super) fn content(&mut self, part: Part) -> MarkedContent {
        let Part::Said(element) = part else { return MarkedContent::Artifact };
        let page = self.pages.len().saturating_sub(1);
        let Some(list) = self.pages.last_mut() else { return MarkedContent::Artifact };
        let number = list.len();
        list.push(element);
        let Some(element) = self.elements.get_mut(element) else { return MarkedContent::Artifact };
        element.kids.push(Kid::Content(page, number));
        MarkedContent::Said { tag: element.kind, number }
    }

    fn add(&mut self, kind: &'static str, parent: usize) -> usize {
        let at = self.elements.len();
        self.elements.push(Element {
            kind,
            parent: Some(parent),
            said: String::new(),
            kids: Vec::new(),
        });
        if let Some(parent) = self.elements.get_mut(parent) {
            parent.kids.push(Kid::Element(at));
        }
        at
    }

    fn prose(&mut self, prose: &Prose) -> usize {
        if let Some(known) = self.prose.get(prose) {
            return *known;
        }
        let element = match prose {
            Prose::Title => self.heading(1),
            Prose::Heading { level, .. } => {
                // The file's title is the first level, and a part is as high as a chapter.
                self.heading(usize::from(*level).max(1) + usize::from(self.titled))
            }
            Prose::Body(body) => self.body(body),
            Prose::Contents { .. } => {
                let contents = match self.contents {
                    Some(contents) => contents,
                    None => self.add("TOC", DOCUMENT),
                };
                self.contents = Some(contents);
                let line = self.add("TOCI", contents);
                self.add("Link", line)
            }
            Prose::Subtitle
            | Prose::Author
            | Prose::Copyright
            | Prose::Imprint { .. }
            | Prose::Dedication
            | Prose::Decoration => self.add("P", DOCUMENT),
        };
        self.prose.insert(prose.clone(), element);
        element
    }

    /// A heading of a level, or of a higher one: levels follow each other without a gap (ISO 14289-1, 7.4).
    fn heading(&mut self, level: usize) -> usize {
        self.level = level.min(self.level + 1).min(HEADINGS.len());
        let kind = HEADINGS.get(self.level.saturating_sub(1)).copied().unwrap_or("P");
        self.add(kind, DOCUMENT)
    }

    /// The element of a part of the body, with all that it stands in.
    fn body(&mut self, body: &BodyProse) -> usize {
        let mut parent = DOCUMENT;
        for (at, step) in body.steps.iter().enumerate() {
            let steps = body.steps.get(..=at).unwrap_or(&body.steps);
            let outer = Prose::Body(BodyProse { item: body.item, steps: steps.into() });
            parent = match self.prose.get(&outer) {
                Some(known) => *known,
                None => {
                    let new = self.add(kind(&step.role), parent);
                    if let (Role::Figure(said), Some(own)) =
                        (&step.role, self.elements.get_mut(new))
                    {
                        own.said = said.to_string();
                    }
                    self.prose.insert(outer, new);
                    new
                }
            };
        }
        parent
    }

    /// A block that goes on from the page before is one figure.
    fn figure(&mut self, title: &str, spoken: &str) -> usize {
        let first = self.pages.last().is_none_or(Vec::is_empty);
        if let Some((known, said, at)) = &self.figure
            && first
            && (known.as_str(), said.as_str()) == (title, spoken)
        {
            return *at;
        }
        let at = self.add("Figure", DOCUMENT);
        if let Some(figure) = self.elements.get_mut(at) {
            figure.said = if spoken.is_empty() { title.to_owned() } else { spoken.to_owned() };
        }
        self.figure = Some((title.to_owned(), spoken.to_owned(), at));
        at
    }

    /// Writes the structure, and names it in the catalogue, on the pages and on the links. `links`
    /// holds each link's annotation and the words that lead there.
    pub(super) fn finish(
        mut self,
        (document, written): (&mut Document, &mut WrittenObjects),
        pages: &[ObjectId],
        links: &[WrittenLink],
    ) -> lopdf::Result<()> {
        for (index, link) in links.iter().enumerate() {
            let element = match &link.words {
                Some(words) => self.prose(words),
                None => {
                    let element = self.add("Link", DOCUMENT);
                    if let Some(own) = self.elements.get_mut(element) {
                        own.said.clone_from(&link.said);
                    }
                    element
                }
            };
            self.links.push(element);
            if let Some(element) = self.elements.get_mut(element) {
                element.kids.push(Kid::Link(index));
            }
        }
        let root = document.new_object_id();
        let tree = StructureTree {
            ids: self.elements.iter().map(|_| document.new_object_id()).collect(),
            tags: &self,
            root,
            pages,
            links,
        };
        for (number, (element, id)) in self.elements.iter().zip(&tree.ids).enumerate() {
            written.put(*id, tree.element(number, element));
        }
        let numbers = tree.numbers(document, written)?;
        let parents = written.add(document, dictionary! { "Nums" => numbers });
        let dict = dictionary! {
            "Type" => "StructTreeRoot",
            "K" => vec![tree.id_of(DOCUMENT).into()],
            "ParentTree" => parents,
            "ParentTreeNextKey" => (pages.len() + links.len()) as i64,
        };
        written.put(root, dict);
        let catalog = document.catalog_mut()?;
        catalog.set("StructTreeRoot", root);
        catalog.set("MarkInfo", dictionary! { "Marked" => true });
        Ok(())
    }
}

/// The standard structure type of a part of prose (ISO 32000-1, 14.8.4).
fn kind(role: &Role) -> &'static str {
    match role {
        Role::Paragraph => "P",
        Role::List => "L",
        Role::Entry => "LI",
        Role::Label => "Lbl",
        Role::EntryBody => "LBody",
        Role::Quote => "BlockQuote",
        Role::Code => "Code",
        Role::Table => "Table",
        Role::Row => "TR",
        Role::HeadCell => "TH",
        Role::Cell => "TD",
        Role::Figure(_) => "Figure",
        Role::Caption => "Caption",
        Role::Note => "Note",
        Role::NoteMark => "Reference",
        Role::Link => "Link",
    }
}

/// The structure as it is written.
struct StructureTree<'a> {
    tags: &'a Tags,
    /// The object of each element.
    ids: Vec<ObjectId>,
    root: ObjectId,
    pages: &'a [ObjectId],
    links: &'a [WrittenLink],
}

impl StructureTree<'_> {
    fn id_of(&self, element: usize) -> ObjectId {
        self.ids.get(element).copied().unwrap_or(self.root)
    }

    /// An element with its kids (ISO 32000-1, 14.7.2).
    fn element(&self, number: usize, element: &Element) -> Dictionary {
        let home = element.kids.iter().find_map(|kid| match kid {
            Kid::Content(page, _) => Some(*page),
            Kid::Element(_) | Kid::Link(_) => None,
        });
        let kids = element.kids.iter().filter_map(|kid| self.kid(*kid, home));
        let mut dict = dictionary! {
            "Type" => "StructElem",
            "S" => element.kind,
            "P" => element.parent.map_or(self.root, |parent| self.id_of(parent)),
            "K" => kids.collect::<Vec<Object>>(),
        };
        if let Some(page) = home.and_then(|page| self.pages.get(page)) {
            dict.set("Pg", *page);
        }
        match element.kind {
            // ISO 14289-1, 7.5 and 7.9: a cell of a head says what it heads, and a note has a name.
            "TH" => dict.set("A", dictionary! { "O" => "Table", "Scope" => "Column" }),
            "Note" => dict.set("ID", Object::string_literal(format!("note{number:06}"))),
            _ => {}
        }
        if !element.said.is_empty() {
            dict.set("Alt", lopdf::text_string(&element.said));
        }
        dict
    }

    /// A kid of an element whose page is `home`.
    fn kid(&self, kid: Kid, home: Option<usize>) -> Option<Object> {
        match kid {
            Kid::Element(kid) => Some(self.id_of(kid).into()),
            Kid::Content(page, number) if Some(page) == home => Some((number as i64).into()),
            Kid::Content(page, number) => {
                let page = *self.pages.get(page)?;
                let kid = dictionary! { "Type" => "MCR", "Pg" => page, "MCID" => number as i64 };
                Some(kid.into())
            }
            Kid::Link(link) => {
                let annotation = self.links.get(link)?.annotation;
                Some(dictionary! { "Type" => "OBJR", "Obj" => annotation }.into())
            }
        }
    }

    /// Which elements marked content and links belong to (ISO 32000-1, 14.7.4.4), named on the pages too.
    fn numbers(
        &self,
        document: &mut Document,
        written: &mut WrittenObjects,
    ) -> lopdf::Result<Vec<Object>> {
        let mut numbers: Vec<Object> = Vec::new();
        for (index, (page, contents)) in self.pages.iter().zip(&self.tags.pages).enumerate() {
            let parents: Vec<Object> = contents.iter().map(|at| self.id_of(*at).into()).collect();
            numbers.push((index as i64).into());
            numbers.push(written.add(document, parents).into());
            let dict = document.get_dictionary_mut(*page)?;
            dict.set("StructParents", index as i64);
            dict.set("Tabs", "S");
        }
        for (index, element) in self.tags.links.iter().enumerate() {
            numbers.push(link_key(self.pages.len(), index).into());
            numbers.push(self.id_of(*element).into());
        }
        Ok(numbers)
    }
}
