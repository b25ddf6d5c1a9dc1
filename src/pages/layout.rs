//! Pages laid out: which pieces stand on each and where, and what is printed around them. A page is put
//! together when it is asked for.

use super::block::lowered;
use super::breaking::Leaf;
use super::column::ColumnPiece;
use super::contents::ContentsLine;
use super::item_ids::{ItemId, ItemIds};
use super::labels::Labels;
use super::listed::Listed;
use super::page_number::Numbered;
use super::passage;
use super::piece::OutlineHeading;
use super::reference::ReferenceTarget;
use super::running;
use super::running::Running;
use super::setter::Setter;
use super::settle::Settled;
use super::sheet::Sheet;
use super::spent::Said;
use super::spoken;
use super::stands::Stands;
use crate::drawing::{
    Colours, Drawing, Group, GroupKind, Link, LinkedLine, Node, OutlineEntry, PAGES_TOGETHER, Page,
    Prose, WebLink,
};
use crate::font::Fonts;
use crate::parallel::{Each, map_in_order};
use crate::rope::Rope;
use crate::score::printing::BlocksOnPages;
use crate::score::{Header, Item, PlacedBlock, Score};
use crate::source::LineTable;
use kurbo::Vec2;
use std::borrow::Borrow;
use std::ops::Range;
use std::sync::Arc;

/// The pages of a score, laid out.
#[derive(Clone, Debug, Default)]
pub struct Layout {
    pub(super) sheet: Sheet,
    /// Blocks stand in the middle of their pages.
    centred: bool,
    pub(super) pieces: Rope<ColumnPiece>,
    /// The ids of the items that these are of.
    ids: ItemIds,
    pub(super) leaves: Vec<Leaf>,
    pub(super) listed: Listed,
    pub(super) running: Running,
    pub(super) labels: Labels,
    pub(super) stands: Stands,
    /// The first page of the body.
    pub(super) first_of_body: usize,
    lines: Arc<LineTable>,
    /// What is said of blocks that don't have their bars any more.
    said: Said,
}

/// What a drawing has of a page beside its marks.
struct BesidePage {
    links: Vec<Link>,
    addresses: Vec<WebLink>,
    outline: Vec<OutlineEntry>,
}

impl Layout {
    /// Lays out pages that are broken.
    pub fn new(
        Setter { sheet, ids, lines, .. }: &Setter<'_>,
        score: &Score,
        (settled, said): (Settled, Said),
    ) -> Self {
        let Settled { pieces, leaves, labels, body, index, stands } = settled;
        let mut layout = Self {
            sheet: (*sheet).clone(),
            centred: score.header.blocks == BlocksOnPages::OneAPage { centred: true },
            first_of_body: leaves.iter().position(|leaf| leaf.pieces.end > body).unwrap_or(0),
            pieces,
            ids: (*ids).clone(),
            leaves,
            listed: Listed::default(),
            running: Running::default(),
            labels,
            stands,
            lines: Arc::clone(lines),
            said,
        };
        layout.listed = Listed::of(&layout.pieces, &layout.leaves, ids);
        let chapters = layout
            .listed
            .chapters
            .iter()
            .filter_map(|chapter| layout.entries_of(chapter.page).nth(chapter.nth));
        layout.running = Running::new(score.header.title.as_deref(), chapters, index);
        layout
    }

    /// How many pages there are.
    pub fn pages(&self) -> usize {
        self.leaves.len()
    }

    /// All pages as a drawing. Pieces are given up as soon as they stand on their page.
    pub fn into_drawing(self, fonts: &Fonts, score: &Score) -> Drawing {
        let mut drawing = self.without_pages(fonts, score);
        drawing.pages = self.into_pages(fonts, score).flatten().collect();
        drawing
    }

    /// All pages in order, some at a time. A score that is given and not lent is kept for as long as they come.
    pub(crate) fn into_pages(
        mut self,
        fonts: &Fonts,
        score: impl Borrow<Score> + Send + Sync,
    ) -> impl ExactSizeIterator<Item = Vec<Page>> + Send {
        let count = self.pages();
        (0..count).step_by(PAGES_TOGETHER).map(move |from| {
            let pages = from..count.min(from + PAGES_TOGETHER);
            let page = |page| self.page(fonts, score.borrow(), page);
            let made = map_in_order(Each::Small, pages.clone().collect(), page);
            self.spend(pages);
            made
        })
    }

    /// Gives up the marks of pages; where they stand is still known.
    fn spend(&mut self, pages: Range<usize>) {
        let leaves = self.leaves.get(pages).unwrap_or_default();
        let (Some(first), Some(last)) = (leaves.first(), leaves.last()) else { return };
        let range = first.pieces.start..last.pieces.end;
        let nothing = Arc::default();
        let spent = self.pieces.range(range.clone()).map(|piece| piece.spent(&nothing)).collect();
        self.pieces = self.pieces.replaced([(range, spent)]);
    }

    /// The drawing but for its pages.
    pub(crate) fn without_pages(&self, fonts: &Fonts, score: &Score) -> Drawing {
        let pages = (0..self.pages()).collect();
        let of_pages = map_in_order(Each::Small, pages, |page| self.beside_page(fonts, page));
        // A long book has tens of thousands.
        let mut links = Vec::with_capacity(of_pages.iter().map(|own| own.links.len()).sum());
        let (mut addresses, mut outline) = (Vec::new(), Vec::new());
        for own in of_pages {
            links.extend(own.links);
            addresses.extend(own.addresses);
            outline.extend(own.outline);
        }
        Drawing {
            title: score.header.title.clone(),
            author: score.header.author.clone(),
            language: score.header.language.clone(),
            publisher: score.header.front.publisher.clone(),
            isbn: score.header.front.isbn.as_ref().map(|isbn| isbn.digits.clone()),
            links,
            addresses,
            front: self.labels.front,
            imposed: false,
            pages: Vec::new(),
            outline,
        }
    }

    /// The pieces of a page.
    pub(super) fn pieces_of(&self, page: usize) -> impl Iterator<Item = &ColumnPiece> + Clone {
        let range = self.leaves.get(page).map_or(0..0, |leaf| leaf.pieces.clone());
        self.pieces.iter_from(range.start).take(range.len())
    }

    /// The pieces of a page and their tops.
    pub(super) fn on_page(&self, page: usize) -> impl Iterator<Item = (&ColumnPiece, f64)> {
        let gaps = self.leaves.get(page).map_or(1.0, |leaf| leaf.gaps);
        let lowered =
            if self.centred { lowered(&self.sheet, self.pieces_of(page), gaps) } else { 0.0 };
        let mut end = None;
        let top = self.sheet.top + lowered;
        self.pieces_of(page).map(move |piece| {
            let gap = piece.measure.room_over(gaps);
            let y = end.map_or(top, |end: f64| end + gap);
            end = Some(y + piece.measure.height);
            (piece, y)
        })
    }

    /// The entries of the outline on a page.
    fn entries_of(&self, page: usize) -> impl Iterator<Item = OutlineEntry> {
        self.on_page(page).flat_map(move |(piece, y)| {
            let entry = move |heading: &OutlineHeading| {
                let title = heading.words.clone();
                OutlineEntry { level: heading.level, title, page, y }
            };
            piece.headings().map(entry)
        })
    }

    /// Whether a head and a foot stand on a page, and whether it is one of the body.
    fn is_framed(&self, page: usize) -> bool {
        let blank = self.pieces_of(page).next().is_none() && self.pages() > 1;
        !blank && !self.pieces_of(page).any(|piece| piece.bare)
    }

    pub(super) fn head(&self, header: &Header, page: usize) -> Option<Arc<str>> {
        let wanted = header.running_heads && page >= self.first_of_body && self.is_framed(page);
        wanted.then(|| self.running.over(page, &self.sheet)).flatten()
    }

    pub(super) fn label(&self, page: usize) -> Option<String> {
        (self.pages() > 1 && self.is_framed(page)).then(|| self.labels.of(page))
    }

    /// The page of an index.
    pub fn page(&self, fonts: &Fonts, score: &Score, page: usize) -> Page {
        let (sheet, header) = (&self.sheet, &score.header);
        let left = sheet.left(page + 1);
        let mut nodes = Vec::new();
        let head = self.head(header, page);
        nodes.extend(head.map(|words| running::head(fonts, sheet, &words, page)));
        nodes.extend(self.marks((fonts, score), left, page));
        for (piece, y) in self.on_page(page) {
            let Some((entry, label)) = self.number(piece) else { continue };
            nodes.extend(ContentsLine { piece: &piece.piece, left, y }.number(
                (fonts, sheet),
                entry,
                &label,
            ));
        }
        if self.is_framed(page) {
            let copyright = header.copyright.as_deref().filter(|_| !header.title_page);
            let label = self.label(page);
            let mut foot = running::foot(fonts, sheet, page, copyright, label.as_deref());
            // A listener is told of the copyright once.
            if let (Some(_), Some(first)) = (copyright, foot.first_mut())
                && !(0..page).any(|before| self.is_framed(before))
            {
                *first = passage::group(Prose::Copyright, vec![first.clone()]);
            }
            nodes.extend(foot);
        }
        // All pages of a book are there at once.
        nodes.shrink_to_fit();
        let (width, height, lines) = (sheet.width, sheet.height, self.lines.clone());
        let (name, colours) = (self.name(header, page), Colours::of(header));
        Page { width, height, name, colours, nodes, lines }
    }

    /// The entry of the outline a line of the contents leads to, and the number of its page.
    fn number(&self, piece: &ColumnPiece) -> Option<(usize, String)> {
        let to = piece.leads_to()?;
        Some((to, self.labels.of(*self.listed.pages.get(to)?)))
    }

    /// A piece with the numbers of the pages that its words name.
    fn numbered<'p>(&self, fonts: &Fonts, piece: &'p ColumnPiece) -> Numbered<'p> {
        piece.piece.numbered(fonts, |to| Some(self.labels.of(self.stands.page_of(to)?)))
    }

    /// The pages that a piece names: a line of the contents, or words.
    pub(super) fn named<'p>(
        &'p self,
        piece: &'p ColumnPiece,
    ) -> impl Iterator<Item = Option<usize>> + 'p {
        let contents = piece.leads_to().map(|to| self.listed.pages.get(to).copied());
        let words = piece.numbered.then(|| piece.piece.named_pages()).into_iter().flatten();
        contents.into_iter().chain(words.map(|to| self.stands.page_of(to)))
    }

    /// What stands beside a page.
    fn beside_page(&self, fonts: &Fonts, page: usize) -> BesidePage {
        let (mut links, mut addresses) = (Vec::new(), Vec::new());
        let left = self.sheet.left(page + 1);
        for (piece, y) in self.on_page(page) {
            let moved = Vec2::new(left, y);
            let own = self.numbered(fonts, piece);
            addresses.extend(own.addresses.iter().map(|there| WebLink {
                page,
                area: there.area + moved,
                address: there.address.to_string(),
                said: there.said.as_ref().map(|said| piece.said_of_item(said, &self.ids)),
            }));
            links.extend(own.links.iter().filter_map(|link| {
                let to = *self.listed.entries.get(link.to.item)?;
                let said = link.said.as_ref().map(|said| piece.said_of_item(said, &self.ids));
                let line = self.line_of(to, link.to);
                Some(Link { page, area: link.area + moved, to, line, said })
            }));
            if let Some((to, _)) = self.number(piece) {
                let line = ContentsLine { piece: &piece.piece, left, y };
                let said = Some(Prose::Contents { entry: to });
                links.push(Link { page, area: line.area(&self.sheet), to, line: None, said });
            }
        }
        BesidePage { links, addresses, outline: self.entries_of(page).collect() }
    }

    /// The line in which an exercise begins that a reference leads to, of the block an entry of the outline
    /// stands for.
    fn line_of(&self, entry: usize, to: ReferenceTarget) -> Option<LinkedLine> {
        to.exercise?;
        let pages = *self.listed.pages.get(entry)?..self.pages();
        let of_it =
            |page: &usize| self.on_page(*page).any(|(piece, _)| piece.block() == Some(to.item));
        pages.take_while(of_it).find_map(|page| {
            let (_, y) = self.on_page(page).find(|(piece, _)| piece.begins_exercise(to))?;
            Some(LinkedLine { page, y })
        })
    }

    /// What a page is called, for a reader who cannot see it.
    fn name(&self, header: &Header, page: usize) -> String {
        let title = header.title.as_deref().unwrap_or_default();
        let (number, count) = (page + 1, self.pages());
        match (title.is_empty(), count) {
            (true, _) => format!("Page {number} of {count}"),
            (false, 1) => title.to_owned(),
            (false, _) => format!("{title}, page {number} of {count}"),
        }
    }

    fn said_of(&self, index: usize) -> Option<&Arc<str>> {
        self.said.get(index)?.as_ref()
    }

    /// Marks of a page in place, those of one block in a group.
    fn marks(&self, (fonts, score): (&Fonts, &Score), left: f64, page: usize) -> Vec<Node> {
        let mut nodes: Vec<Node> = Vec::new();
        let mut open: Option<(ItemId, Group)> = None;
        for (piece, y) in self.on_page(page) {
            let moved = |nodes: &[Node]| -> Vec<Node> {
                nodes.iter().map(|node| node.clone().transform(1.0, left, y)).collect()
            };
            if let (Some((at, group)), Some(own)) = (&mut open, piece.block())
                && *at == own
            {
                group.children.extend(moved(&piece.piece.nodes));
                continue;
            }
            nodes.extend(open.take().map(|(_, group)| Node::from(group)));
            let row = piece.row(&self.ids).filter_map(|(index, nodes)| {
                let block = block_at(score, index)?;
                Some(Node::from(spoken::group(block, self.said_of(index), moved(nodes))))
            });
            nodes.extend(row);
            let block = piece.block().and_then(|own| {
                let index = self.ids.index(own)?;
                Some((own, index, block_at(score, index)?))
            });
            match (block, piece.said(&self.ids)) {
                (Some((own, index, block)), _) => {
                    let moved = moved(&piece.piece.nodes);
                    open = Some((own, spoken::group(block, self.said_of(index), moved)));
                }
                (None, Some(said)) => {
                    let children = moved(&self.numbered(fonts, piece).nodes);
                    let kind = GroupKind::Prose(said);
                    nodes.push(Node::from(Group { kind, place: None, children }));
                }
                (None, None) => {
                    let of_item = |node| piece.with_item(node, &self.ids);
                    let own = moved(&self.numbered(fonts, piece).nodes);
                    nodes.extend(own.into_iter().map(of_item));
                }
            }
        }
        nodes.extend(open.map(|(_, group)| Node::from(group)));
        nodes
    }
}

/// The block of an index among the items.
fn block_at(score: &Score, index: usize) -> Option<&PlacedBlock> {
    score.items.get(index).and_then(Item::block)
}
