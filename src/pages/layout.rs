//! Pages laid out: which pieces stand on each and where, and what is printed around them. A page is put
//! together when it is asked for.

use super::block::lowered;
use super::breaking::Leaf;
use super::column::ColumnPiece;
use super::contents::ContentsLine;
use super::item_ids::{ItemId, ItemIds};
use super::labels::Labels;
use super::listed::Listed;
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
use crate::drawing::{
    Colours, Drawing, Group, GroupKind, Link, LinkedLine, Node, OutlineEntry, Page, Prose, WebLink,
};
use crate::font::Fonts;
use crate::parallel::{Each, map_in_order};
use crate::rope::{Change, Rope};
use crate::score::printing::BlocksOnPages;
use crate::score::{Header, Item, PlacedBlock, Score};
use crate::source::LineTable;
use kurbo::Vec2;
use std::borrow::Borrow;
use std::ops::Range;
use std::sync::Arc;

/// How many pages are put together before their pieces are given up: enough for all processors.
const TOGETHER: usize = 64;

/// The pages of a score, laid out.
#[derive(Clone, Debug, Default)]
pub struct Layout {
    sheet: Sheet,
    /// Blocks stand in the middle of their pages.
    centred: bool,
    pieces: Rope<ColumnPiece>,
    /// The ids of the items that these are of.
    ids: ItemIds,
    leaves: Vec<Leaf>,
    listed: Listed,
    running: Running,
    labels: Labels,
    /// The first page of the body.
    first_of_body: usize,
    lines: Arc<LineTable>,
    /// What is said of blocks that don't have their bars any more.
    said: Said,
}

impl Layout {
    /// Lays out pages that are broken.
    pub fn new(
        Setter { sheet, ids, lines, .. }: &Setter<'_>,
        score: &Score,
        (settled, said): (Settled, Said),
    ) -> Self {
        let Settled { pieces, leaves, labels, body, index, .. } = settled;
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
        let mut drawing = self.without_pages(score);
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
        (0..count).step_by(TOGETHER).map(move |from| {
            let pages = from..count.min(from + TOGETHER);
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
    pub(crate) fn without_pages(&self, score: &Score) -> Drawing {
        let (mut links, mut addresses) = (Vec::new(), Vec::new());
        (0..self.pages()).for_each(|page| self.link(page, &mut links, &mut addresses));
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
            outline: (0..self.pages()).flat_map(|page| self.entries_of(page)).collect(),
        }
    }

    /// The pieces of a page.
    fn pieces_of(&self, page: usize) -> impl Iterator<Item = &ColumnPiece> + Clone {
        let range = self.leaves.get(page).map_or(0..0, |leaf| leaf.pieces.clone());
        self.pieces.iter_from(range.start).take(range.len())
    }

    /// The pieces of a page and their tops.
    fn on_page(&self, page: usize) -> impl Iterator<Item = (&ColumnPiece, f64)> {
        let gaps = self.leaves.get(page).map_or(1.0, |leaf| leaf.gaps);
        let lowered =
            if self.centred { lowered(&self.sheet, self.pieces_of(page), gaps) } else { 0.0 };
        let mut end = None;
        let top = self.sheet.top + lowered;
        self.pieces_of(page).map(move |piece| {
            let gap = piece.before * if piece.elastic { gaps } else { 1.0 };
            let y = end.map_or(top, |end: f64| end + gap);
            end = Some(y + piece.height);
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

    fn head(&self, header: &Header, page: usize) -> Option<Arc<str>> {
        let wanted = header.running_heads && page >= self.first_of_body && self.is_framed(page);
        wanted.then(|| self.running.over(page, &self.sheet)).flatten()
    }

    fn label(&self, page: usize) -> Option<String> {
        (self.pages() > 1 && self.is_framed(page)).then(|| self.labels.of(page))
    }

    /// The page of an index.
    pub fn page(&self, fonts: &Fonts, score: &Score, page: usize) -> Page {
        let (sheet, header) = (&self.sheet, &score.header);
        let left = sheet.left(page + 1);
        let mut nodes = Vec::new();
        let head = self.head(header, page);
        nodes.extend(head.map(|words| running::head(fonts, sheet, &words, page)));
        nodes.extend(self.marks(score, left, page));
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

    /// The pages that look otherwise than those of the same index in another layout under the same header, or
    /// all; those past the last are gone. Pieces are compared by where they lie in memory: one that was set anew
    /// looks different.
    pub fn changed_from(&self, old: &Self, header: &Header, all: bool) -> Vec<usize> {
        let changes = self.pieces.changes_from(&old.pieces, ColumnPiece::is_as);
        let around = !all
            && (self.pages() > 1) == (old.pages() > 1)
            && (self.first_of_body, self.labels) == (old.first_of_body, old.labels)
            && self.running == old.running;
        let renumbered = self.listed.pages != old.listed.pages;
        let changed = |page: &usize| {
            all || match around && self.has_same_pieces(old, *page, &changes) {
                true => renumbered && self.differs_in_numbers(old, *page),
                false => self.differs(old, header, *page),
            }
        };
        let changed = (0..self.pages()).filter(changed);
        changed.chain(self.pages()..old.pages()).collect()
    }

    /// Whether a page has the very pieces that it had, where pieces changed so, in order.
    fn has_same_pieces(&self, old: &Self, page: usize, changes: &[Change]) -> bool {
        let (Some(own), Some(its)) = (self.leaves.get(page), old.leaves.get(page)) else {
            return false;
        };
        let Range { start, end } = own.pieces;
        let (before, after) =
            changes.split_at(changes.partition_point(|change| change.new.end <= start));
        let start = before.last().map_or(start, |last| start - last.new.end + last.old.end);
        own.gaps == its.gaps
            && its.pieces == (start..start + own.pieces.len())
            && after.first().is_none_or(|next| next.new.start >= end)
    }

    /// Whether lines of the contents name another page, on a page that is the same else; pages are numbered as they
    /// were.
    fn differs_in_numbers(&self, old: &Self, page: usize) -> bool {
        let named = |layout: &Self, piece: &ColumnPiece| {
            piece.leads_to().and_then(|to| layout.listed.pages.get(to).copied())
        };
        self.listed.contents.contains(&page)
            && self.pieces_of(page).any(|piece| named(self, piece) != named(old, piece))
    }

    /// Whether a page looks otherwise than that of the same index in another layout.
    fn differs(&self, other: &Self, header: &Header, page: usize) -> bool {
        let around = |layout: &Self| {
            (layout.sheet.left(page + 1), layout.head(header, page), layout.label(page))
        };
        let shown = |layout: &Self, piece: &ColumnPiece, y: f64| {
            (Arc::as_ptr(&piece.piece), y, layout.number(piece).map(|(_, label)| label))
        };
        let own = self.on_page(page).map(|(piece, y)| shown(self, piece, y));
        let its = other.on_page(page).map(|(piece, y)| shown(other, piece, y));
        // Where a page more stands before it, its first piece is another.
        page >= other.pages() || own.ne(its) || around(self) != around(other)
    }

    /// Adds the links of a page.
    fn link(&self, page: usize, links: &mut Vec<Link>, addresses: &mut Vec<WebLink>) {
        let left = self.sheet.left(page + 1);
        for (piece, y) in self.on_page(page) {
            let moved = Vec2::new(left, y);
            addresses.extend(piece.piece.addresses.iter().map(|there| WebLink {
                page,
                area: there.area + moved,
                address: there.address.to_string(),
                said: there.said.as_ref().map(|said| piece.said_of_item(said, &self.ids)),
            }));
            links.extend(piece.piece.links.iter().filter_map(|link| {
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
    fn marks(&self, score: &Score, left: f64, page: usize) -> Vec<Node> {
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
                    let (kind, children) = (GroupKind::Prose(said), moved(&piece.piece.nodes));
                    nodes.push(Node::from(Group { kind, place: None, children }));
                }
                (None, None) => {
                    let of_item = |node| piece.with_item(node, &self.ids);
                    nodes.extend(moved(&piece.piece.nodes).into_iter().map(of_item));
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
