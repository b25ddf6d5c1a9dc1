//! The elements of the structure as they grow. A book has tens of thousands, nearly all with one kid or two, and they
//! are there while all of its pages are: so kids lie in one list, and numbers are short.

use std::sync::Arc;

/// An element, by its index. A file with more elements than it can tell has more pages than memory holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct ElementId(u32);

/// An element of the structure.
#[derive(Debug)]
pub(super) struct Element {
    pub(super) kind: &'static str,
    /// Nothing of the first, which holds all others.
    pub(super) parent: Option<ElementId>,
    /// What is said in place of what is seen; nothing where nothing is.
    pub(super) said: Option<Arc<str>>,
}

/// What an element holds.
#[derive(Clone, Copy, Debug)]
pub(super) enum Kid {
    Element(ElementId),
    /// Marked content of a page, both by index.
    Content(u32, u32),
    /// A link, by its index.
    Link(u32),
}

/// All elements, in the order in which they were added.
#[derive(Debug)]
pub(super) struct Elements {
    all: Vec<Element>,
    /// What they hold, in the order in which it was added.
    kids: Vec<(ElementId, Kid)>,
}

impl ElementId {
    /// The first, which holds all others.
    pub(super) const DOCUMENT: Self = Self(0);

    fn of(index: usize) -> Self {
        Self(short(index))
    }

    /// Its index.
    pub(super) fn index(self) -> usize {
        self.0 as usize
    }
}

impl Elements {
    /// The first alone.
    pub(super) fn new() -> Self {
        let document = Element { kind: "Document", parent: None, said: None };
        Self { all: vec![document], kids: Vec::new() }
    }

    /// Adds an element.
    pub(super) fn add(&mut self, kind: &'static str, parent: ElementId) -> ElementId {
        let at = ElementId::of(self.all.len());
        self.all.push(Element { kind, parent: Some(parent), said: None });
        self.kids.push((parent, Kid::Element(at)));
        at
    }

    /// Adds marked content to an element, by the indices of its page and on it; the element's kind.
    pub(super) fn content(&mut self, of: ElementId, page: usize, number: usize) -> &'static str {
        self.kids.push((of, Kid::Content(short(page), short(number))));
        self.all.get(of.index()).map_or("P", |element| element.kind)
    }

    /// Adds a link to an element, by its index.
    pub(super) fn link(&mut self, of: ElementId, index: usize) {
        self.kids.push((of, Kid::Link(short(index))));
    }

    /// Says something in place of what is seen of an element; nothing where that is empty.
    pub(super) fn say(&mut self, of: ElementId, said: Arc<str>) {
        if let Some(element) = self.all.get_mut(of.index()) {
            element.said = Some(said).filter(|said| !said.is_empty());
        }
    }

    /// How many there are.
    pub(super) fn len(&self) -> usize {
        self.all.len()
    }

    /// All in order, each with what it holds.
    pub(super) fn each(&mut self) -> impl Iterator<Item = (&Element, Vec<Kid>)> {
        // What one holds stays in its order.
        self.kids.sort_by_key(|(of, _)| *of);
        let mut kids = self.kids.iter().copied().peekable();
        self.all.iter().enumerate().map(move |(index, element)| {
            let own = |(of, _): &(ElementId, Kid)| of.index() == index;
            (element, std::iter::from_fn(|| kids.next_if(own)).map(|(_, kid)| kid).collect())
        })
    }
}

/// An index as it is kept.
fn short(index: usize) -> u32 {
    u32::try_from(index).unwrap_or(u32::MAX)
}
