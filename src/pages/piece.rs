//! What pages are made of: a column of pieces, each as tall as its ink.

use super::prose::LineNumber;
use super::reference::ReferenceTarget;
use crate::drawing::{Node, Prose};
use kurbo::{Rect, Vec2};
use std::ops::Range;
use std::sync::Arc;

/// The level of an exercise in the outline; those of headings are lower.
pub const EXERCISE: u8 = 3;

/// Pieces that follow each other, shared with every column they stand in.
pub type Pieces = Arc<[Arc<Piece>]>;

/// Something that stays together on a page. Its nodes have y zero at the piece's top.
#[derive(Clone, Debug, Default)]
pub struct Piece {
    /// Its marks, x from the left margin.
    pub nodes: Arc<[Node]>,
    /// What its marks are together, where they are words that belong together.
    pub said: Option<Prose>,
    /// Its height.
    pub height: f64,
    /// Room over it, but at the head of a page.
    pub before: f64,
    /// The room over it gives a little, so that pages come out even.
    pub elastic: bool,
    /// It begins something: a paragraph, a block. A page may start with it.
    pub begins: bool,
    /// It may not be the last on its page.
    pub keep_with_next: bool,
    /// How much it belongs to the piece before it.
    pub bond: Bond,
    /// How well the page may be turned before it.
    pub turn: Turn,
    /// It is part of a block.
    pub of_block: bool,
    /// The exercises of a series that begin in it, by their numbers over the staff.
    pub exercises: Arc<[u32]>,
    /// The marks of blocks side by side, which are items that follow each other.
    pub row: Vec<Arc<[Node]>>,
    /// Where it may stand.
    pub opens: Opens,
    /// The heading or the blocks it is the first line of.
    pub headings: Vec<OutlineHeading>,
    /// Words in it that lead to a block or a heading.
    pub links: Vec<LinkArea>,
    /// Words in it that lead to an address, from its left margin and top.
    pub addresses: Vec<AddressArea>,
    /// It fills a page that has neither a head nor a foot.
    pub bare: bool,
    /// It is a line of the contents, and leads to an entry of the outline.
    pub leads: bool,
}

impl Piece {
    /// Adds the marks of another at a place.
    pub fn add(&mut self, other: &Self, at: Vec2) {
        let moved = other.nodes.iter().map(|node| node.clone().transform(1.0, at.x, at.y));
        self.nodes = self.nodes.iter().cloned().chain(moved).collect();
    }

    /// Puts a node before all others.
    pub fn put_first(&mut self, node: Node) {
        self.nodes = std::iter::once(node).chain(self.nodes.iter().cloned()).collect();
        self.addresses.iter_mut().for_each(|address| address.node += 1);
        for link in &mut self.links {
            link.node += 1;
            if let Some(number) = &mut link.number {
                number.line = number.line.start + 1..number.line.end + 1;
            }
        }
    }
}

/// A place in a piece that leads to a block or a heading.
#[derive(Clone, Debug, PartialEq)]
pub struct LinkArea {
    /// The place, from the piece's left margin and top.
    pub area: Rect,
    /// Where it leads.
    pub to: ReferenceTarget,
    /// The words that lead there.
    pub said: Option<Prose>,
    /// The node of the piece that they are.
    pub node: usize,
    /// Where they name the page.
    pub number: Option<Box<PageNumber>>,
}

/// Where the number of a page stands in a node of a piece.
#[derive(Clone, Debug, PartialEq)]
pub struct PageNumber {
    /// It among the marks of the node.
    pub own: LineNumber,
    /// The nodes of its line.
    pub line: Range<usize>,
    /// How much of what the number leaves free goes before the line: nothing on the left, all on the right.
    pub indent: f64,
}

/// A place in a piece that leads to an address.
#[derive(Clone, Debug, PartialEq)]
pub struct AddressArea {
    /// The place, from the piece's left margin and top.
    pub area: Rect,
    /// The address.
    pub address: Arc<str>,
    /// The words that lead there.
    pub said: Option<Prose>,
    /// The node of the piece that they are.
    pub node: usize,
}

/// How much a piece belongs to the one before it, although it begins something.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Bond {
    /// Not at all.
    #[default]
    Free,
    /// It leans on it: of two places to end a page, the other is better.
    Leaning,
    /// It speaks of it, or is what the other speaks of.
    Close,
}

/// Where a piece may stand.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Opens {
    /// After the piece before it.
    #[default]
    Anywhere,
    /// At the head of a page.
    NewPage,
    /// At the head of a left-hand page, which has an even number.
    LeftPage,
    /// At the head of a right-hand page, which has an odd number.
    RightPage,
}

impl Opens {
    /// Both wishes: the narrower one, and this one where they are of two sides.
    #[must_use]
    pub fn over(self, other: Self) -> Self {
        match (self, other) {
            (Self::Anywhere, other) => other,
            (Self::NewPage, Self::Anywhere | Self::NewPage) => self,
            (Self::NewPage, Self::LeftPage | Self::RightPage) => other,
            (Self::LeftPage | Self::RightPage, _) => self,
        }
    }

    /// Whether a blank page goes before the page of an index, from 0, so that this one may stand at its head.
    pub fn blank_before(self, page: usize) -> bool {
        match self {
            Self::Anywhere | Self::NewPage => false,
            Self::LeftPage => page.is_multiple_of(2),
            Self::RightPage => !page.is_multiple_of(2),
        }
    }
}

/// How well a page may be turned before a piece that goes on with the music of the one before.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Turn {
    /// It is no line of music that goes on.
    #[default]
    Idle,
    /// Hands that play have to turn it.
    Busy,
    /// The hands rest.
    Rest,
    /// The text says that it is a good place.
    Said,
}

/// A heading as the outline and the contents list it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OutlineHeading {
    /// 0 for a part, 1 for `#`, 2 for `##`, [`EXERCISE`] for an exercise.
    pub level: u8,
    /// Its words.
    pub words: Arc<str>,
    /// Of an item, how many others stand side by side before it; nothing where it is the heading of no item.
    pub nth: Option<usize>,
}

/// Pieces whose marks are said together.
pub fn grouped(mut pieces: Vec<Piece>, prose: Prose) -> Vec<Piece> {
    pieces.iter_mut().for_each(|piece| piece.said = Some(prose.clone()));
    pieces
}
