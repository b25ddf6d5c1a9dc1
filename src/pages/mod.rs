//! Systems and prose to pages: title, body, foot; and one cropped picture for each block.

mod bond;
pub mod booklet;
mod breaking;
mod contents;
mod flow;
pub mod flowing;
mod front;
mod grid;
mod index;
mod key;
mod prose;
mod reference;
mod running;
pub mod sheet;
mod spoken;
mod title;

use crate::drawing::{
    Drawing, Group, GroupKind, Kind, Link, Mark, Node, OutlineEntry, Page, Shape, WebLink,
};
use crate::engrave::{Engraver, Style, System};
use crate::font::{FaceStyle, Fonts};
use crate::score::settings::{Chapters, Contents, NotationKey};
use crate::score::{Block, Header, Item, Score};
use crate::source::{Diagnostics, Source};
use breaking::Leaf;
use flow::{Piece, Setter};
use front::Labels;
use grid::Cell;
use kurbo::{Point, Vec2};
use rayon::prelude::*;
use reference::Answers;
use running::Running;
use sheet::Sheet;
use std::collections::BTreeMap;
use std::ops::Range;

/// A file, composed.
#[derive(Clone, Debug, Default)]
pub struct Composed {
    /// Its pages.
    pub drawing: Drawing,
    /// A cropped picture of each block, under the block's name or number.
    pub blocks: Vec<(String, Page)>,
}

/// Room around a cropped picture, in points.
const CROP_MARGIN: f64 = 6.0;

/// What is made of a score.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wanted {
    /// Pages alone.
    Pages,
    /// Pages, and a picture of each block.
    PagesAndPictures,
}

/// Composes a score into pages, and into pictures where they are wanted.
pub fn compose(
    fonts: &Fonts,
    style: &Style,
    source: &Source,
    score: &Score,
    wanted: Wanted,
    diagnostics: &mut Diagnostics,
) -> Composed {
    let sheet = Sheet::new(&score.header, style);
    let context = Engraver { fonts, style, source, space_pt: sheet.space };
    let header = &score.header;
    let room = sheet.floor() - sheet.top;
    let (mut answers, referring) = Answers::of(score);
    let at_first = answers.clone();
    let setter = Setter { fonts, sheet: &sheet, context, answers: &at_first };
    let mut pieces =
        if header.title_page { vec![setter.title_page(header)] } else { setter.title(header) };
    let mut body = Body {
        setter,
        score,
        diagnostics,
        referring: &referring,
        words: Vec::new(),
        pieces: Vec::new(),
        wanted,
        blocks: Vec::new(),
        engraved: Vec::new(),
        engraved_from: 0,
    };
    let mut index = 0;
    while index < score.items.len() {
        let first = body.pieces.len();
        let items = body.set(index);
        if let Some(first) = body.pieces.get_mut(first) {
            first.bond = bond::between(&score.items, index);
        }
        index += items;
    }
    let Body { pieces: body, blocks, mut words, .. } = body;
    let lines = setter.contents(&body, &index::headings(score), header.contents);
    let key = setter.key(score, NotationKey::FirstPage);
    let (under_title, after_contents) =
        if header.title_page { (Vec::new(), key) } else { (key, Vec::new()) };
    pieces.extend(under_title);
    let contents = pieces.len();
    pieces.extend(lines);
    pieces.extend(after_contents);
    let front = pieces.len();
    pieces.extend(body);
    pieces.extend(setter.key(score, NotationKey::LastPage));
    front::open(&mut pieces, (contents, front), header);
    words.iter_mut().for_each(|(_, range)| *range = range.start + front..range.end + front);
    let mut pass = 0;
    let (mut leaves, labels) = loop {
        let leaves = breaking::break_pages(&pieces, room);
        let labels = Labels::of_front(header, front, &leaves);
        if words.is_empty() {
            break (leaves, labels);
        }
        let pages = stands_on(&pieces, &leaves);
        let pages = pages.into_iter().map(|(item, page)| (item, labels.of(page))).collect();
        let enough = answers.take(&pages, pass >= reference::PASSES);
        let again = Setter { answers: &answers, ..setter };
        pieces = reference::set_again(pieces, &mut words, &|index| words_of(&again, score, index));
        pass += 1;
        if enough || pass > 2 * reference::PASSES {
            break (leaves, labels);
        }
    };
    let index_from = leaves.len();
    let known = stands_on(&pieces, &leaves);
    for (nth, page) in index::pages(&setter, score, &known, labels).into_iter().enumerate() {
        if nth == 0 && header.chapters == Chapters::RightPage && leaves.len() % 2 == 1 {
            leaves.push(Leaf { pieces: pieces.len()..pieces.len(), gaps: 1.0 });
        }
        let first = pieces.len();
        pieces.extend(page);
        leaves.push(Leaf { pieces: first..pieces.len(), gaps: 1.0 });
    }
    let first_of_body = leaves.iter().position(|leaf| leaf.pieces.end > front).unwrap_or(0);
    let count = leaves.len();
    let tops: Vec<_> = leaves.iter().map(|leaf| tops(&sheet, &pieces, leaf)).collect();
    let mut outline = Vec::new();
    for (page, (leaf, tops)) in leaves.iter().zip(&tops).enumerate() {
        for (piece, y) in pieces.get(leaf.pieces.clone()).unwrap_or(&[]).iter().zip(tops) {
            outline.extend(piece.headings.iter().map(|heading| {
                let title = heading.words.clone();
                OutlineEntry { level: heading.level, title, page, y: *y }
            }));
        }
    }
    let headings = pieces.iter().flat_map(|piece| &piece.headings).enumerate();
    let entries: BTreeMap<usize, usize> =
        headings.filter_map(|(entry, heading)| Some((heading.block?, entry))).collect();
    let running = Running::new(header.title.as_deref(), &outline, index_from);
    let mut links = Vec::new();
    let mut addresses = Vec::new();
    let mut pages = Vec::with_capacity(count);
    for (number, (leaf, tops)) in leaves.iter().zip(&tops).enumerate() {
        let left = sheet.left(number + 1);
        let on_page = pieces.get_mut(leaf.pieces.clone()).unwrap_or(&mut []);
        let mut leading = Vec::new();
        for (piece, y) in on_page.iter().zip(tops) {
            addresses.extend(piece.addresses.iter().map(|(area, address)| WebLink {
                page: number,
                area: *area + Vec2::new(left, *y),
                address: address.to_string(),
            }));
            links.extend(piece.links.iter().filter_map(|link| {
                let area = link.area + Vec2::new(left, *y);
                Some(Link { page: number, area, to: *entries.get(&link.item)? })
            }));
            let Some(to) = piece.leads_to else { continue };
            let Some(entry) = outline.get(to) else { continue };
            let line = (piece, left, *y);
            let (nodes, link) =
                contents::number(fonts, &sheet, line, (to, entry), (number, labels));
            leading.extend(nodes);
            links.push(link);
        }
        let blank = on_page.is_empty() && count > 1;
        let bare = on_page.iter().any(|piece| piece.bare);
        let mut nodes = Vec::new();
        if header.running_heads && !blank && !bare && number >= first_of_body {
            let words = running.over(number, &sheet);
            nodes.extend(words.map(|words| running::head(fonts, &sheet, words, number)));
        }
        nodes.extend(group_blocks(score, left, on_page, tops));
        nodes.extend(leading);
        if !blank && !bare {
            nodes.extend(foot(fonts, &sheet, header, (number, labels), count));
        }
        let title = score.header.title.clone().unwrap_or_default();
        let name = match (title.is_empty(), count) {
            (true, _) => format!("Page {} of {count}", number + 1),
            (false, 1) => title,
            (false, _) => format!("{title}, page {} of {count}", number + 1),
        };
        pages.push(Page { width: sheet.width, height: sheet.height, name, nodes });
    }
    let drawing = Drawing {
        title: score.header.title.clone(),
        author: score.header.author.clone(),
        language: score.header.language.clone(),
        outline,
        links,
        addresses,
        front: labels.front,
        imposed: false,
        pages,
    };
    Composed { drawing, blocks }
}

/// The body as it grows.
struct Body<'a, 'd> {
    setter: Setter<'a>,
    score: &'a Score,
    diagnostics: &'d mut Diagnostics,
    /// Items whose words refer to blocks, and the pieces they became.
    referring: &'a [usize],
    words: Vec<(usize, Range<usize>)>,
    pieces: Vec<Piece>,
    wanted: Wanted,
    blocks: Vec<(String, Page)>,
    /// Items engraved ahead of their turn, from an index on.
    engraved: Vec<Option<Vec<System>>>,
    engraved_from: usize,
}

/// How many items are engraved together: enough for all processors, and not a whole book in memory.
const TOGETHER: usize = 128;

impl<'a> Body<'a, '_> {
    /// Sets the item of an index, or a row of blocks from it on; how many items that was.
    fn set(&mut self, index: usize) -> usize {
        let items = self.score.items.get(index..).unwrap_or(&[]);
        match items.first() {
            None => 1,
            Some(Item::Block(block)) => {
                let columns = block.settings.columns as usize;
                let row = items
                    .iter()
                    .map_while(|item| match item {
                        Item::Block(b) if b.settings.columns as usize == columns => Some(&**b),
                        _ => None,
                    })
                    .take(columns);
                self.row(index, columns, row)
            }
            Some(item) => {
                let mut set = words_of(&self.setter, self.score, index);
                let first = self.pieces.len();
                if let (Some(piece), Item::Heading { level: 0 | 1, .. }) = (set.first_mut(), item)
                    && (first > 0 || self.score.header.contents != Contents::None)
                {
                    piece.opens = front::opening(&self.score.header);
                }
                self.pieces.extend(set);
                if self.referring.binary_search(&index).is_ok() {
                    self.words.push((index, first..self.pieces.len()));
                }
                1
            }
        }
    }

    /// Sets as many of the blocks as stand side by side.
    fn row(
        &mut self,
        index: usize,
        columns: usize,
        blocks: impl Iterator<Item = &'a Block>,
    ) -> usize {
        let setter = self.setter;
        let narrow = grid::column_width(setter.sheet, columns);
        let mut cells: Vec<Cell<'a>> = Vec::new();
        for (nth, block) in blocks.enumerate() {
            let systems = self.systems(index + nth, block, narrow);
            if columns == 1 || !grid::fits(&systems) {
                // What is too wide for a column stands on a line of its own.
                if nth == 0 {
                    let wide = setter.sheet.text_width();
                    let systems = if columns == 1 { systems } else { setter.systems(block, wide) };
                    self.alone(index, block, systems);
                    return 1;
                }
                break;
            }
            cells.push(Cell { index: index + nth, block, systems });
        }
        if self.wanted == Wanted::PagesAndPictures {
            for cell in &cells {
                let set = setter.block(cell.index, cell.block, cell.systems.clone());
                self.picture(cell.block, &set);
            }
        }
        let count = cells.len().max(1);
        self.pieces.push(setter.grid_row(cells, columns));
        count
    }

    /// A block's lines in a column of a width. The blocks after it are engraved with it, each on any
    /// processor that is free.
    fn systems(&mut self, index: usize, block: &Block, narrow: f64) -> Vec<System> {
        let setter = self.setter;
        if index >= self.engraved_from + self.engraved.len() {
            let ahead = self.score.items.get(index..).unwrap_or(&[]);
            let ahead = ahead.get(..TOGETHER).unwrap_or(ahead);
            let engrave = |item: &Item| match item {
                Item::Block(block) => {
                    let columns = block.settings.columns as usize;
                    let width = grid::column_width(setter.sheet, columns);
                    Some(in_columns(&setter, block, columns, width))
                }
                _ => None,
            };
            self.engraved.clear();
            self.engraved.par_extend(ahead.par_iter().map(engrave));
            self.engraved_from = index;
        }
        let ahead = index.checked_sub(self.engraved_from);
        let systems = ahead.and_then(|at| self.engraved.get_mut(at)).and_then(Option::take);
        // A block that found no room beside another was taken before.
        systems
            .unwrap_or_else(|| in_columns(&setter, block, block.settings.columns as usize, narrow))
    }

    fn alone(&mut self, index: usize, block: &Block, systems: Vec<System>) {
        // A style of one line sets what is long smaller by design.
        if !grid::fits(&systems) && !self.setter.context.style.one_line {
            let most = systems.iter().filter(|s| s.scale < 1.0).map(|s| s.bars).max();
            let (what, mend) = match most {
                Some(bars @ 2..) => (
                    format!("{bars} bars do not fit on one line; they are set smaller"),
                    "ask for fewer with `bars:`, or use a wider page or a smaller staff-height",
                ),
                _ => (
                    "a bar is wider than the page; it is set smaller to fit".to_owned(),
                    "use a wider page or a smaller staff-height",
                ),
            };
            self.diagnostics.warning(block.span, what).mend(mend);
        }
        let set = self.setter.block(index, block, systems);
        if self.wanted == Wanted::PagesAndPictures {
            self.picture(block, &set);
        }
        self.pieces.extend(set);
    }

    fn picture(&mut self, block: &Block, set: &[Piece]) {
        let picture = crop(self.setter.fonts, block, set);
        self.blocks.push((block_key(block, self.blocks.len()), picture));
    }
}

/// A block's lines in one of some columns of a width.
fn in_columns(setter: &Setter<'_>, block: &Block, columns: usize, width: f64) -> Vec<System> {
    match columns {
        1 => setter.systems(block, width),
        _ => setter.column(block, width),
    }
}

/// The words of an item that is no music.
fn words_of(setter: &Setter<'_>, score: &Score, index: usize) -> Vec<Piece> {
    let Some(item) = score.items.get(index) else { return Vec::new() };
    let mut set = match item {
        Item::Heading { level: 0, text } if score.header.chapters != Chapters::Follow => {
            vec![setter.part_page(text)]
        }
        item => setter.item(index, item),
    };
    let before = index.checked_sub(1).and_then(|before| score.items.get(before));
    if let Some(first) = set.first_mut() {
        first.bond = bond::between(&score.items, index);
        if matches!(before, Some(Item::Block(_))) {
            first.before = first.before.max(setter.sheet.after_block);
        }
    }
    set
}

/// The index of the page each block begins on, by its index among the items.
fn stands_on(pieces: &[Piece], leaves: &[Leaf]) -> BTreeMap<usize, usize> {
    let mut pages = BTreeMap::new();
    for (page, leaf) in leaves.iter().enumerate() {
        let headings = pieces.get(leaf.pieces.clone()).unwrap_or(&[]).iter();
        let blocks = headings.flat_map(|piece| &piece.headings).filter_map(|h| h.block);
        pages.extend(blocks.map(|block| (block, page)));
    }
    pages
}

/// The y of the top of each piece of a page.
fn tops(sheet: &Sheet, pieces: &[Piece], leaf: &Leaf) -> Vec<f64> {
    let mut y = sheet.top;
    let mut tops = Vec::new();
    for piece in pieces.get(leaf.pieces.clone()).unwrap_or(&[]) {
        if !tops.is_empty() {
            y += piece.before * if piece.elastic { leaf.gaps } else { 1.0 };
        }
        tops.push(y);
        y += piece.height;
    }
    tops
}

/// Marks of a page in place, those of one block in a group. The pieces are left without them: no
/// piece stands on two pages, and copies of all marks of a book take time.
fn group_blocks(score: &Score, left: f64, pieces: &mut [Piece], tops: &[f64]) -> Vec<Node> {
    let mut nodes: Vec<Node> = Vec::new();
    let mut open: Option<(usize, Group)> = None;
    for (piece, y) in pieces.iter_mut().zip(tops) {
        let marks = std::mem::take(&mut piece.nodes).into_iter();
        let moved = marks.map(|node| node.transform(1.0, left, *y));
        let block = piece.block.and_then(|i| match score.items.get(i) {
            Some(Item::Block(block)) => Some((i, block)),
            _ => None,
        });
        let same = matches!((&open, block), (Some((a, _)), Some((b, _))) if *a == b);
        if !same {
            nodes.extend(open.take().map(|(_, group)| Node::Group(group)));
        }
        match (&mut open, block) {
            (Some((_, group)), _) => group.children.extend(moved),
            (None, Some((index, block))) => {
                open = Some((index, block_group(block, moved.collect())));
            }
            (None, None) => nodes.extend(moved),
        }
    }
    nodes.extend(open.map(|(_, group)| Node::Group(group)));
    nodes
}

fn block_group(block: &Block, children: Vec<Node>) -> Group {
    let kind = GroupKind::Block { title: block_name(block), spoken: spoken::block(block) };
    Group { kind, place: None, children }
}

/// What a reader knows a block by.
fn block_name(block: &Block) -> String {
    match (&block.title, &block.name, block.printed_number()) {
        (Some(title), ..) => title.clone(),
        (None, Some(name), _) => name.clone(),
        (None, None, Some(number)) => number,
        (None, None, None) => "music".to_owned(),
    }
}

/// What a block's picture is filed under: its name, its number where chapters are numbered, or its
/// place among the blocks.
fn block_key(block: &Block, before: usize) -> String {
    let numbered = || block.chapter.and_then(|_| block.printed_number());
    block.name.clone().or_else(numbered).unwrap_or_else(|| (before + 1).to_string())
}

/// A picture of one block alone, cropped to its ink.
fn crop(fonts: &Fonts, block: &Block, pieces: &[Piece]) -> Page {
    let mut nodes = Vec::new();
    let mut y = 0.0;
    for (index, piece) in pieces.iter().enumerate() {
        y += if index == 0 { 0.0 } else { piece.before };
        nodes.extend(piece.nodes.iter().map(|node| node.clone().transform(1.0, 0.0, y)));
        y += piece.height;
    }
    let group = Node::Group(block_group(block, nodes));
    let ink = group.bounds(fonts).unwrap_or_default().inflate(CROP_MARGIN, CROP_MARGIN);
    let moved = group.transform(1.0, -ink.x0, -ink.y0);
    Page { width: ink.width(), height: ink.height(), name: block_name(block), nodes: vec![moved] }
}

/// The copyright line in the middle and the page number outside, where there are several.
fn foot(
    fonts: &Fonts,
    sheet: &Sheet,
    header: &Header,
    (page, labels): (usize, Labels),
    count: usize,
) -> Vec<Node> {
    let number = page + 1;
    let size = sheet.foot;
    let y = sheet.height - sheet.bottom * 0.5;
    let mut nodes = Vec::new();
    let mut put = |text: &str, share: f64| {
        let run = fonts.text.shape(text, FaceStyle::Regular);
        let room = sheet.text_width() - run.width * size;
        let at = Point::new(sheet.left(number), y) + Vec2::new(room * share, 0.0);
        nodes.push(Node::Mark(Mark::new(Kind::Foot, Shape::Text { run, at, size })));
    };
    if let Some(copyright) = &header.copyright
        && !header.title_page
    {
        put(copyright, 0.5);
    }
    if count > 1 {
        let outside = if sheet.mirrored() && number.is_multiple_of(2) { 0.0 } else { 1.0 };
        put(&labels.of(page), outside);
    }
    nodes
}
