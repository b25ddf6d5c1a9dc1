//! A book as a folder of pages: the first with its title and contents, then a page for each chapter, last
//! the index. Each page holds all it needs but the other pages, and links name files beside it, so that the
//! folder reads from a disk as from a server.

use super::body::BodyForm;
use super::chapters;
use super::chapters::{Chapter, ChapterKind};
use super::escape::escape;
use super::figure::{dedication, title_lines};
use super::leads::Leads;
use super::lists;
use super::moving;
use super::page::{self, Head};
use crate::font::Fonts;
use crate::pages::flowing::{ContentsEntry, Flowing, FlowingItem};
use crate::parallel::{Each, map_in_order};
use crate::write::error::WriteError;
use crate::write::svg::SharedPictures;

/// The file a folder on a server is opened with.
const FIRST: &str = "index.html";
/// The file of the lists of the index.
const INDEX: &str = "book-index.html";
/// The deepest entry of contents without exercises: a heading.
const HEADINGS: u8 = 2;
/// What stands between the words of a chapter and the title of its book.
const OF_BOOK: &str = " \u{2013} ";

/// A file of a web book.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WebPage {
    /// Its name, without a folder.
    pub name: String,
    /// All of it.
    pub html: String,
}

/// A page of the book before it is written.
struct Leaf<'a> {
    name: String,
    /// What links to it say.
    title: String,
    holds: Holds<'a>,
}

/// What a page of the book holds.
enum Holds<'a> {
    /// Title and contents, and what stands before the first chapter.
    First(Option<Chapter<'a>>),
    Chapter(Chapter<'a>),
    Index,
}

/// A text as the pages of a web book, the first first.
///
/// # Errors
/// Says which face could not be embedded.
pub fn write_book(flowing: &Flowing, fonts: &Fonts) -> Result<Vec<WebPage>, WriteError> {
    let leaves = leaves(flowing);
    let held = leaves.iter().filter_map(|leaf| match leaf.holds {
        Holds::First(chapter) => Some((leaf.name.as_str(), chapter?)),
        Holds::Chapter(chapter) => Some((leaf.name.as_str(), chapter)),
        Holds::Index => None,
    });
    let leads = chapters::leads(held, &flowing.index, INDEX);
    let places: Vec<usize> = (0..leaves.len()).collect();
    let written = map_in_order(Each::Large, places, |at| {
        let beside = |at: Option<usize>| at.and_then(|at| leaves.get(at));
        let turns = Turns {
            before: beside(at.checked_sub(1)),
            after: beside(Some(at + 1)),
            contents: flowing.printed.contents,
            book: page::title(&flowing.header),
        };
        leaves.get(at).map(|leaf| leaf.write(flowing, &turns, &leads, fonts))
    });
    written.into_iter().flatten().collect()
}

/// The pages, in the order they are read.
fn leaves(flowing: &Flowing) -> Vec<Leaf<'_>> {
    let mut chapters = chapters::divided(flowing);
    let opening = chapters.first().is_some_and(|first| first.kind == ChapterKind::Opening);
    let opening = opening.then(|| chapters.remove(0));
    let title = page::title(&flowing.header).to_owned();
    let mut leaves = vec![Leaf { name: FIRST.to_owned(), title, holds: Holds::First(opening) }];
    leaves.extend(chapters.into_iter().enumerate().map(|(index, chapter)| Leaf {
        name: format!("chapter-{}.html", index + 1),
        title: chapter.title.map_or_else(|| (index + 1).to_string(), str::to_owned),
        holds: Holds::Chapter(chapter),
    }));
    leaves.extend(flowing.index.first().map(|list| Leaf {
        name: INDEX.to_owned(),
        title: list.title.to_owned(),
        holds: Holds::Index,
    }));
    leaves
}

/// What the contents of a book list, which always has them: what the header asks for, or else its headings.
fn listed(flowing: &Flowing) -> Vec<ContentsEntry> {
    if !flowing.contents.is_empty() {
        return flowing.contents.clone();
    }
    flowing.outline.iter().filter(|entry| entry.level <= HEADINGS).cloned().collect()
}

/// The pages a reader turns to from a page.
struct Turns<'a> {
    before: Option<&'a Leaf<'a>>,
    after: Option<&'a Leaf<'a>>,
    contents: &'static str,
    /// The title of the book.
    book: &'a str,
}

impl Turns<'_> {
    /// The elements of a head that name them (HTML, "Link types").
    fn links(&self) -> String {
        let link = |rel: &str, leaf: Option<&Leaf<'_>>| {
            leaf.map(|leaf| format!("<link rel=\"{rel}\" href=\"{}\">\n", leaf.name))
        };
        link("prev", self.before).into_iter().chain(link("next", self.after)).collect()
    }

    /// Links to the page before, the contents, and the page after. A book of one page has none.
    fn row(&self, class: &str) -> String {
        if self.before.is_none() && self.after.is_none() {
            return String::new();
        }
        let link = |rel: &str, leaf: &Leaf<'_>, words: String| {
            format!("<a rel=\"{rel}\" href=\"{}\">{words}</a>\n", leaf.name)
        };
        let before = self.before.map_or_else(
            || "<span></span>\n".to_owned(),
            |leaf| link("prev", leaf, format!("← {}", escape(&leaf.title))),
        );
        let contents = self.before.map(|_| format!("<a href=\"{FIRST}\">{}</a>\n", self.contents));
        let after = self.after.map(|leaf| link("next", leaf, format!("{} →", escape(&leaf.title))));
        format!(
            "<nav class=\"{class}\" aria-label=\"{}\">\n{before}{}{}</nav>\n",
            escape(self.book),
            contents.unwrap_or_default(),
            after.unwrap_or_default()
        )
    }
}

impl Leaf<'_> {
    /// What of the body stands on it.
    fn items(&self) -> &[FlowingItem] {
        match &self.holds {
            Holds::First(Some(chapter)) | Holds::Chapter(chapter) => chapter.items,
            Holds::First(None) | Holds::Index => &[],
        }
    }

    fn write(
        &self,
        flowing: &Flowing,
        turns: &Turns<'_>,
        leads: &Leads,
        fonts: &Fonts,
    ) -> Result<WebPage, WriteError> {
        let mut pictures = SharedPictures::new(fonts);
        let header = &flowing.header;
        let added = moving::additions(self.items(), header.language.as_deref(), fonts);
        let own = match &self.holds {
            Holds::First(opening) => {
                let opening = opening.map(|chapter| {
                    page::main(
                        flowing,
                        (chapter.items, page::FORM),
                        (leads, &added.in_figures),
                        &mut pictures,
                    )
                });
                title_lines(header)
                    + &dedication(header)
                    + &lists::contents(&listed(flowing), turns.contents, leads)
                    + &opening.unwrap_or_default()
            }
            Holds::Chapter(chapter) => {
                // The page is about its chapter, so that its heading is the first.
                let form = BodyForm { chapter: 1, ..page::FORM };
                turns.row("turn")
                    + &page::main(
                        flowing,
                        (chapter.items, form),
                        (leads, &added.in_figures),
                        &mut pictures,
                    )
            }
            Holds::Index => turns.row("turn") + &lists::index(&flowing.index, leads),
        };
        let body = own + &turns.row("turn last") + &page::foot(header);
        let book = page::title(header);
        let title = match &self.holds {
            Holds::First(_) => book.to_owned(),
            Holds::Chapter(_) | Holds::Index => [&self.title, OF_BOOK, book].concat(),
        };
        let links = turns.links();
        let head = Head { title: &title, links: &links, added: &added };
        let html = page::file(header, &head, &body, pictures)?;
        Ok(WebPage { name: self.name.clone(), html })
    }
}
