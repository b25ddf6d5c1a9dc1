//! Systems and prose to pages: title, body, foot; and one cropped picture for each block.

mod flow;
mod prose;
pub mod sheet;

use crate::drawing::{Drawing, Group, GroupKind, Kind, Mark, Node, Page, Shape};
use crate::engrave::{Context, Style};
use crate::font::{FaceStyle, Fonts};
use crate::score::{Block, Header, Item, Score};
use crate::source::{Diagnostics, Source};
use flow::{Piece, Setter};
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
    let mut pieces = setter.title(&score.header);
    let mut blocks = Vec::new();
    for (index, item) in score.items.iter().enumerate() {
        let after_block =
            matches!(index.checked_sub(1).and_then(|i| score.items.get(i)), Some(Item::Block(_)));
        let Item::Block(block) = item else {
            let mut set = setter.item(index, item);
            if let Some(first) = set.first_mut().filter(|_| after_block) {
                first.before = first.before.max(sheet.after_block);
            }
            pieces.extend(set);
            continue;
        };
        let systems = setter.systems(block);
        if systems.iter().any(|system| system.scale < 1.0) {
            diagnostics
                .warning(block.span, "a bar is wider than the page; it is set smaller to fit")
                .mend("use a wider page or a smaller staff-height");
        }
        let set = setter.block(index, block, &systems);
        blocks.push((block_key(block, blocks.len()), crop(fonts, block, &set)));
        pieces.extend(set);
    }
    let pages = fill(&sheet, pieces);
    let count = pages.len();
    let pages = pages
        .into_iter()
        .enumerate()
        .map(|(number, placed)| {
            let mut nodes = group_blocks(score, &sheet, placed);
            nodes.extend(foot(fonts, &sheet, &score.header, number + 1, count));
            let title = score.header.title.clone().unwrap_or_default();
            let name = match (title.is_empty(), count) {
                (true, _) => format!("Page {} of {count}", number + 1),
                (false, 1) => title,
                (false, _) => format!("{title}, page {} of {count}", number + 1),
            };
            Page { width: sheet.width, height: sheet.height, name, nodes }
        })
        .collect();
    let drawing = Drawing {
        title: score.header.title.clone(),
        author: score.header.author.clone(),
        language: score.header.language.clone(),
        pages,
    };
    Composed { drawing, blocks }
}

/// Fills pages from the top; pieces that must stay with the next move together. A chain that is
/// taller than a page is broken.
fn fill(sheet: &Sheet, pieces: Vec<Piece>) -> Vec<Vec<(Piece, f64)>> {
    let mut pages: Vec<Vec<(Piece, f64)>> = vec![Vec::new()];
    let mut y = sheet.top;
    let mut chain: Vec<Piece> = Vec::new();
    let mut place = |chain: &mut Vec<Piece>, y: &mut f64| {
        let tall: f64 = chain.iter().map(|p| p.before + p.height).sum();
        let empty = pages.last().is_none_or(Vec::is_empty);
        let whole = sheet.floor() - sheet.top;
        if !empty && *y + tall > sheet.floor() && tall <= whole {
            pages.push(Vec::new());
            *y = sheet.top;
        }
        for piece in chain.drain(..) {
            let empty = pages.last().is_none_or(Vec::is_empty);
            if !empty && *y + piece.before + piece.height > sheet.floor() {
                pages.push(Vec::new());
                *y = sheet.top;
            }
            let head = pages.last().is_none_or(Vec::is_empty);
            *y += if head { 0.0 } else { piece.before };
            let at = *y;
            *y += piece.height;
            if let Some(page) = pages.last_mut() {
                page.push((piece, at));
            }
        }
    };
    for piece in pieces {
        let last = !piece.keep_with_next;
        chain.push(piece);
        if last {
            place(&mut chain, &mut y);
        }
    }
    place(&mut chain, &mut y);
    pages
}

/// Marks of a page in place, those of one block in a group.
fn group_blocks(score: &Score, sheet: &Sheet, placed: Vec<(Piece, f64)>) -> Vec<Node> {
    let mut nodes: Vec<Node> = Vec::new();
    let mut open: Option<(usize, Group)> = None;
    for (piece, y) in placed {
        let moved = piece.nodes.iter().map(|node| node.transform(1.0, sheet.side, y));
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
    Group { kind: GroupKind::Block { title: block_name(block) }, place: None, children }
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

/// The copyright line in the middle and the page number at the right, where there are several.
fn foot(fonts: &Fonts, sheet: &Sheet, header: &Header, number: usize, count: usize) -> Vec<Node> {
    let size = sheet.foot;
    let y = sheet.height - sheet.bottom * 0.5;
    let mut nodes = Vec::new();
    let mut put = |text: &str, share: f64| {
        let run = fonts.text.shape(text, FaceStyle::Regular);
        let room = sheet.text_width() - run.width * size;
        let at = Point::new(sheet.side, y) + Vec2::new(room * share, 0.0);
        nodes.push(Node::Mark(Mark::new(Kind::Foot, Shape::Text { run, at, size })));
    };
    if let Some(copyright) = &header.copyright {
        put(copyright, 0.5);
    }
    if count > 1 {
        put(&number.to_string(), 1.0);
    }
    nodes
}
