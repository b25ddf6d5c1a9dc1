//! The elements of the structure as they grow. A book has tens of thousands, nearly all with one kid or two, and they
//! are there while all of its pages are: so kids lie in one list, each with the place of the next, and numbers are short.

use super::long_list::LongList;
use std::sync::Arc;

/// An element, by its index. A file with more elements than it can tell has more pages than memory holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct ElementId(u32);

/// An element of the structure.
#[derive(Debug)]
pub(super) struct Element {
    pub(super) kind: &'static str,
    /// Nothing of the first, which holds all others.
    pub(super) parent: Option<ElementId>,
    /// What is said in place of what is seen; nothing where nothing is.
    pub(super) said: Option<Arc<str>>,
    /// Where its first kid and its last lie in the list of all.
    kids: Option<(u32, u32)>,
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
    all: LongList<Element>,
    /// What they hold, each with where the next of the same element lies.
    kids: LongList<(Kid, Option<u32>)>,
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
        let mut all = LongList::new();
        all.push(Element { kind: "Document", parent: None, said: None, kids: None });
        Self { all, kids: LongList::new() }
    }

    /// Adds an element.
    pub(super) fn add(&mut self, kind: &'static str, parent: ElementId) -> ElementId {
        let at = ElementId::of(self.all.len());
        self.all.push(Element { kind, parent: Some(parent), said: None, kids: None });
        self.hold(parent, Kid::Element(at));
        at
    }

    /// Adds marked content to an element, by the indices of its page and on it; the element's kind.
    pub(super) fn content(&mut self, of: ElementId, page: usize, number: usize) -> &'static str {
        self.hold(of, Kid::Content(short(page), short(number)));
        self.all.get(of.index()).map_or("P", |element| element.kind)
    }

    /// Adds a link to an element, by its index.
    pub(super) fn link(&mut self, of: ElementId, index: usize) {
        self.hold(of, Kid::Link(short(index)));
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

    fn hold(&mut self, of: ElementId, kid: Kid) {
        let at = short(self.kids.len());
        let Some(element) = self.all.get_mut(of.index()) else { return };
        let first = element.kids.map_or(at, |(first, _)| first);
        let last = element.kids.replace((first, at)).map(|(_, last)| last);
        self.kids.push((kid, None));
        if let Some((_, next)) = last.and_then(|last| self.kids.get_mut(last as usize)) {
            *next = Some(at);
        }
    }

    /// All in order, as many at a time as a stretch of a list holds.
    pub(super) fn stretches(&self) -> impl Iterator<Item = &[Element]> {
        self.all.stretches()
    }

    /// What an element holds, in the order in which it was added.
    pub(super) fn kids(&self, of: &Element) -> impl Iterator<Item = Kid> {
        let mut at = of.kids.map(|(first, _)| first);
        std::iter::from_fn(move || {
            let (kid, next) = *self.kids.get(at? as usize)?;
            at = next;
            Some(kid)
        })
    }
}

/// An index as it is kept.
fn short(index: usize) -> u32 {
    u32::try_from(index).unwrap_or(u32::MAX)
}
