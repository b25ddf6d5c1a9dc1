//! A drawing: its pages, and what leads from place to place on them.

use super::mark::Node;
use super::prose::Prose;
use crate::score::printing::Background;
use crate::score::{Colour, Header};
use crate::source::LineTable;
use kurbo::Rect;
use std::sync::Arc;

/// Everything a writer needs.
#[derive(Clone, Debug, Default)]
pub struct Drawing {
    /// The document's title, for the file's own information.
    pub title: Option<String>,
    /// Its author.
    pub author: Option<String>,
    /// The language of its words, a BCP 47 tag.
    pub language: Option<String>,
    /// Who publishes it.
    pub publisher: Option<String>,
    /// Its number as a book: thirteen digits (ISO 2108).
    pub isbn: Option<String>,
    /// Its headings and exercises, in reading order.
    pub outline: Vec<OutlineEntry>,
    /// Places that lead to entries of the outline.
    pub links: Vec<Link>,
    /// Places on its pages that lead to the web, page by page.
    pub addresses: Vec<WebLink>,
    /// How many of its first pages are numbered apart, in small Roman numerals.
    pub front: usize,
    /// Its pages are sheets that hold several pages each.
    pub imposed: bool,
    /// Its pages.
    pub pages: Vec<Page>,
}

/// A heading or an exercise, and where it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct OutlineEntry {
    /// How deep it lies, 0 the outermost.
    pub level: u8,
    /// Its words.
    pub title: Arc<str>,
    /// Its page's index.
    pub page: usize,
    /// Its top on the page, in points.
    pub y: f64,
}

/// A place on a page that leads to an entry of the outline.
#[derive(Clone, Debug, PartialEq)]
pub struct Link {
    /// Its page's index.
    pub page: usize,
    /// Its place on the page, in points.
    pub area: Rect,
    /// The entry's index.
    pub to: usize,
    /// The line of it that is meant, where it is not its first.
    pub line: Option<LinkedLine>,
    /// The words that lead there, where they are part of the structure.
    pub said: Option<Prose>,
}

/// A line of music that words lead to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LinkedLine {
    /// Its page's index.
    pub page: usize,
    /// Its top on the page, in points.
    pub y: f64,
}

/// A place on a page that leads to an address of the web.
#[derive(Clone, Debug, PartialEq)]
pub struct WebLink {
    /// Its page's index.
    pub page: usize,
    /// Its place on the page, in points.
    pub area: Rect,
    /// The address, as it is written.
    pub address: String,
    /// The words that lead there, where they are part of the structure.
    pub said: Option<Prose>,
}

/// How many pages are made and written at a time where nobody asks for all of them: enough for all processors, and of
/// a book few. Common practice, no source.
pub const PAGES_TOGETHER: usize = 64;

/// One page, or one picture of a block.
#[derive(Clone, Debug)]
pub struct Page {
    /// Width in points.
    pub width: f64,
    /// Height in points.
    pub height: f64,
    /// What the picture is of: its title, for a reader who cannot see it.
    pub name: String,
    /// What colours it has.
    pub colours: Colours,
    /// What stands on it, in reading order.
    pub nodes: Vec<Node>,
    /// Where the lines of the source start, for the places of its marks.
    pub lines: Arc<LineTable>,
}

/// The colours of a page. By default they are those of the printer or the screen.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Colours {
    /// Of its ink; nothing where it is black on paper, and on a screen what is written in.
    pub ink: Option<Colour>,
    /// Of what is behind.
    pub background: Background,
}

impl Colours {
    /// Those that a header asks for.
    #[must_use]
    pub fn of(header: &Header) -> Self {
        let ink = header.ink.as_ref().map(|ink| ink.value);
        Self { ink, background: header.background }
    }

    /// Of ink that is half as dark: a mixture with what is behind, which has so many thousandths of it.
    #[must_use]
    pub fn grey(self, thousandths: u16) -> Colour {
        let behind = match self.background {
            Background::Paper | Background::None => Colour::WHITE,
            Background::Colour(colour) => colour,
        };
        self.ink.unwrap_or(Colour::BLACK).mixed(behind, thousandths)
    }
}

impl Page {
    /// What stands on it, all of it in the space of the page.
    #[must_use]
    pub fn flat(&self) -> Vec<Node> {
        self.nodes.iter().flat_map(Node::flat).collect()
    }
}
