//! What the pages say to a reader who listens (ISO 32000-1, 14.7 and 14.8): headings, paragraphs,
//! lists and the contents in reading order, and each block as a figure with its counting and its
//! sticking read aloud. What only the eye needs is an artifact.

use super::elements::{ElementId, Elements};
use super::links::WrittenLink;
use super::place::SetPage;
use super::structure::StructureTree;
use super::written::WrittenObjects;
use crate::drawing::prose::{BodyProse, Role};
use crate::drawing::{GroupKind, Kind, Node, Prose};
use lopdf::Document;
use std::collections::BTreeMap;
use std::sync::Arc;

/// What part of a page is, for its marked content.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Part {
    /// Marked content of an element.
    Said(ElementId),
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

/// The structure as it grows with the pages.
#[derive(Debug)]
pub(super) struct Tags {
    elements: Elements,
    /// For each page, the element of each marked content.
    pages: Vec<Vec<ElementId>>,
    prose: BTreeMap<Prose, ElementId>,
    /// The elements of links, in the order of these.
    links: Vec<ElementId>,
    contents: Option<ElementId>,
    /// The last figure and what it says: a block goes on over the page.
    figure: Option<(String, Arc<str>, ElementId)>,
    titled: bool,
    /// The level of the last heading, from 1.
    level: usize,
}

const DOCUMENT: ElementId = ElementId::DOCUMENT;

/// Headings from the highest.
const HEADINGS: [&str; 3] = ["H1", "H2", "H3"];

impl Tags {
    /// None yet, of a document that has a title or not.
    pub(super) fn new(titled: bool) -> Self {
        Self {
            elements: Elements::new(),
            pages: Vec::new(),
            prose: BTreeMap::new(),
            links: Vec::new(),
            contents: None,
            figure: None,
            titled,
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
        MarkedContent::Said { tag: self.elements.content(element, page, number), number }
    }

    fn add(&mut self, kind: &'static str, parent: ElementId) -> ElementId {
        self.elements.add(kind, parent)
    }

    fn prose(&mut self, prose: &Prose) -> ElementId {
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
    fn heading(&mut self, level: usize) -> ElementId {
        self.level = level.min(self.level + 1).min(HEADINGS.len());
        let kind = HEADINGS.get(self.level.saturating_sub(1)).copied().unwrap_or("P");
        self.add(kind, DOCUMENT)
    }

    /// The element of a part of the body, with all that it stands in.
    fn body(&mut self, body: &BodyProse) -> ElementId {
        let mut parent = DOCUMENT;
        for (at, step) in body.steps.iter().enumerate() {
            let steps = body.steps.get(..=at).unwrap_or(&body.steps);
            let outer = Prose::Body(BodyProse { item: body.item, steps: steps.into() });
            parent = match self.prose.get(&outer) {
                Some(known) => *known,
                None => {
                    let new = self.add(kind(&step.role), parent);
                    if let Role::Figure(said) = &step.role {
                        self.elements.say(new, said.clone());
                    }
                    self.prose.insert(outer, new);
                    new
                }
            };
        }
        parent
    }

    /// A block that goes on from the page before is one figure.
    fn figure(&mut self, title: &str, spoken: &Arc<str>) -> ElementId {
        let first = self.pages.last().is_none_or(Vec::is_empty);
        if let Some((known, said, at)) = &self.figure
            && first
            && (known.as_str(), said) == (title, spoken)
        {
            return *at;
        }
        let at = self.add("Figure", DOCUMENT);
        self.elements.say(at, if spoken.is_empty() { title.into() } else { spoken.clone() });
        self.figure = Some((title.to_owned(), spoken.clone(), at));
        at
    }

    /// Writes the structure, and names it in the catalogue and on the links. `links`
    /// holds each link's annotation and the words that lead there.
    pub(super) fn finish(
        mut self,
        (document, written): (&mut Document, &mut WrittenObjects),
        pages: &[SetPage],
        links: &[WrittenLink<'_>],
    ) -> lopdf::Result<()> {
        for (index, link) in links.iter().enumerate() {
            let element = match link.words {
                Some(words) => self.prose(words),
                None => {
                    let element = self.add("Link", DOCUMENT);
                    self.elements.say(element, link.said.into());
                    element
                }
            };
            self.links.push(element);
            self.elements.link(element, index);
        }
        let Self { elements, pages: contents, links: of_links, .. } = self;
        let tree = StructureTree::new(document, &elements, pages, links);
        tree.write((document, written), &contents, &of_links)
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
