//! Systems and prose to pages: title, body, foot; and one cropped picture for each block.

pub mod booklet;
mod breaking;
mod contents;
mod flow;
pub mod flowing;
mod grid;
mod key;
mod prose;
pub mod sheet;
mod spoken;

use crate::drawing::{Drawing, Group, GroupKind, Kind, Mark, Node, OutlineEntry, Page, Shape};
use crate::engrave::{Context, Style, System};
use crate::font::{FaceStyle, Fonts};
use crate::score::settings::{Chapters, Contents, NotationKey};
use crate::score::{Block, Header, Item, Score};
use crate::source::{Diagnostics, Source};
use breaking::Leaf;
use flow::{Opens, Piece, Setter};
use grid::Cell;
use kurbo::{Point, Vec2};
use sheet::Sheet;

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

/// Composes a score into pages.
pub fn compose(
    fonts: &Fonts,
    style: &Style,
    source: &Source,
    score: &Score,
    diagnostics: &mut Diagnostics,
) -> Composed {
    let sheet = Sheet::new(&score.header, style);
    let context = Context { fonts, style, source, space_pt: sheet.space };
    let setter = Setter { fonts, sheet: &sheet, context };
    let title = setter.title(&score.header);
    let mut body = Body { setter, score, diagnostics, pieces: Vec::new(), blocks: Vec::new() };
    let mut index = 0;
    while index < score.items.len() {
        index += body.set(index);
    }
    let Body { pieces: body, blocks, .. } = body;
    let lines = setter.contents(&body, score.header.contents);
    let mut pieces = title;
    pieces.extend(setter.key(score, NotationKey::FirstPage));
    pieces.extend(lines);
    pieces.extend(body);
    pieces.extend(setter.key(score, NotationKey::LastPage));
    let leaves = breaking::break_pages(&pieces, sheet.floor() - sheet.top);
    let count = leaves.len();
    let placed: Vec<_> = leaves.iter().map(|leaf| place(&sheet, &pieces, leaf)).collect();
    let mut outline = Vec::new();
    for (page, placed) in placed.iter().enumerate() {
        for (piece, y) in placed {
            outline.extend(piece.headings.iter().map(|heading| {
                let title = heading.words.clone();
                OutlineEntry { level: heading.level, title, page, y: *y }
            }));
        }
    }
    let mut links = Vec::new();
    let mut pages = Vec::with_capacity(count);
    for (number, placed) in placed.into_iter().enumerate() {
        let left = sheet.left(number + 1);
        let mut leading = Vec::new();
        for (piece, y) in &placed {
            let Some(to) = piece.leads_to else { continue };
            let Some(entry) = outline.get(to) else { continue };
            let line = (*piece, left, *y);
            let (nodes, link) = contents::number(fonts, &sheet, line, (to, entry), number);
            leading.extend(nodes);
            links.push(link);
        }
        let blank = placed.is_empty() && count > 1;
        let mut nodes = group_blocks(score, left, placed);
        nodes.extend(leading);
        if !blank {
            nodes.extend(foot(fonts, &sheet, &score.header, number + 1, count));
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
    pieces: Vec<Piece>,
    blocks: Vec<(String, Page)>,
}

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
                        Item::Block(b) if b.settings.columns as usize == columns => Some(b),
                        _ => None,
                    })
                    .take(columns);
                self.row(index, columns, row)
            }
            Some(item) => {
                let after_block = index.checked_sub(1).and_then(|i| self.score.items.get(i));
                let mut set = self.setter.item(index, item);
                if let (Some(first), Item::Heading { level: 1, .. }) = (set.first_mut(), item)
                    && (!self.pieces.is_empty() || self.score.header.contents != Contents::None)
                {
                    first.opens = match self.score.header.chapters {
                        Chapters::Follow => Opens::Anywhere,
                        Chapters::NewPage => Opens::NewPage,
                        Chapters::RightPage => Opens::RightPage,
                    };
                }
                if let Some(first) = set.first_mut()
                    && matches!(after_block, Some(Item::Block(_)))
                {
                    first.before = first.before.max(self.setter.sheet.after_block);
                }
                self.pieces.extend(set);
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
            let systems = setter.systems(block, narrow);
            if columns == 1 || !grid::fits(&systems) {
                // What is too wide for a column stands on a line of its own.
                if nth == 0 {
                    let wide = setter.sheet.text_width();
                    let systems = if columns == 1 { systems } else { setter.systems(block, wide) };
                    self.alone(index, block, &systems);
                    return 1;
                }
                break;
            }
            cells.push(Cell { index: index + nth, block, systems });
        }
        for cell in &cells {
            let set = setter.block(cell.index, cell.block, &cell.systems);
            self.picture(cell.block, &set);
        }
        self.pieces.push(setter.grid_row(&cells, columns));
        cells.len().max(1)
    }

    fn alone(&mut self, index: usize, block: &Block, systems: &[System]) {
        if !grid::fits(systems) {
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
        self.picture(block, &set);
        self.pieces.extend(set);
    }

    fn picture(&mut self, block: &Block, set: &[Piece]) {
        let picture = crop(self.setter.fonts, block, set);
        self.blocks.push((block_key(block, self.blocks.len()), picture));
    }
}

/// The pieces of a page with the y of their tops.
fn place<'a>(sheet: &Sheet, pieces: &'a [Piece], leaf: &Leaf) -> Vec<(&'a Piece, f64)> {
    let mut y = sheet.top;
    let mut placed = Vec::new();
    for piece in pieces.get(leaf.pieces.clone()).unwrap_or(&[]) {
        if !placed.is_empty() {
            y += piece.before * if piece.elastic { leaf.gaps } else { 1.0 };
        }
        placed.push((piece, y));
        y += piece.height;
    }
    placed
}

/// Marks of a page in place, those of one block in a group.
fn group_blocks(score: &Score, left: f64, placed: Vec<(&Piece, f64)>) -> Vec<Node> {
    let mut nodes: Vec<Node> = Vec::new();
    let mut open: Option<(usize, Group)> = None;
    for (piece, y) in placed {
        let moved = piece.nodes.iter().map(|node| node.transform(1.0, left, y));
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
    match (&block.title, &block.name, block.number) {
        (Some(title), ..) => title.clone(),
        (None, Some(name), _) => name.clone(),
        (None, None, Some(number)) => number.to_string(),
        (None, None, None) => "music".to_owned(),
    }
}

/// What a block's picture is filed under: its name, or its place among the blocks.
fn block_key(block: &Block, before: usize) -> String {
    block.name.clone().unwrap_or_else(|| (before + 1).to_string())
}

/// A picture of one block alone, cropped to its ink.
fn crop(fonts: &Fonts, block: &Block, pieces: &[Piece]) -> Page {
    let mut nodes = Vec::new();
    let mut y = 0.0;
    for (index, piece) in pieces.iter().enumerate() {
        y += if index == 0 { 0.0 } else { piece.before };
        nodes.extend(piece.nodes.iter().map(|node| node.transform(1.0, 0.0, y)));
        y += piece.height;
    }
    let group = Node::Group(block_group(block, nodes));
    let ink = group.bounds(fonts).unwrap_or_default().inflate(CROP_MARGIN, CROP_MARGIN);
    let moved = group.transform(1.0, -ink.x0, -ink.y0);
    Page { width: ink.width(), height: ink.height(), name: block_name(block), nodes: vec![moved] }
}

/// The copyright line in the middle and the page number outside, where there are several.
fn foot(fonts: &Fonts, sheet: &Sheet, header: &Header, number: usize, count: usize) -> Vec<Node> {
    let size = sheet.foot;
    let y = sheet.height - sheet.bottom * 0.5;
    let mut nodes = Vec::new();
    let mut put = |text: &str, share: f64| {
        let run = fonts.text.shape(text, FaceStyle::Regular);
        let room = sheet.text_width() - run.width * size;
        let at = Point::new(sheet.left(number), y) + Vec2::new(room * share, 0.0);
        nodes.push(Node::Mark(Mark::new(Kind::Foot, Shape::Text { run, at, size })));
    };
    if let Some(copyright) = &header.copyright {
        put(copyright, 0.5);
    }
    if count > 1 {
        let outside = if sheet.mirrored() && number.is_multiple_of(2) { 0.0 } else { 1.0 };
        put(&number.to_string(), outside);
    }
    nodes
}
