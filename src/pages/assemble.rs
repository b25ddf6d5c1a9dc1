//! Pages put together: pieces in their places, links and outline, heads and feet.

use super::block;
use super::breaking::Leaf;
use super::contents::ContentsLine;
use super::labels::Labels;
use super::piece::Piece;
use super::running;
use super::running::Running;
use super::setter::Setter;
use super::settle::Settled;
use super::sheet::Sheet;
use super::spoken;
use crate::drawing::{Drawing, Group, Link, Node, OutlineEntry, Page, WebLink};
use crate::score::Score;
use kurbo::Vec2;
use std::collections::BTreeMap;

/// The pages of a file as a drawing.
pub fn assemble(setter: &Setter<'_>, score: &Score, settled: Settled) -> Drawing {
    let Settled { mut pieces, leaves, labels, body, index } = settled;
    let tops: Vec<_> = leaves.iter().map(|leaf| tops(setter.sheet, &pieces, leaf)).collect();
    let outline = outline(&pieces, &leaves, &tops);
    let assembly = PageAssembly {
        setter: *setter,
        score,
        outline: &outline,
        entries: entries_of_blocks(&pieces),
        running: Running::new(score.header.title.as_deref(), &outline, index),
        labels,
        count: leaves.len(),
        first_of_body: leaves.iter().position(|leaf| leaf.pieces.end > body).unwrap_or(0),
    };
    let mut links = Links::default();
    let mut pages = Vec::with_capacity(leaves.len());
    for (page, (leaf, tops)) in leaves.iter().zip(&tops).enumerate() {
        let on_page = pieces.get_mut(leaf.pieces.clone()).unwrap_or(&mut []);
        pages.push(assembly.page(page, on_page, tops, &mut links));
    }
    Drawing {
        title: score.header.title.clone(),
        author: score.header.author.clone(),
        language: score.header.language.clone(),
        links: links.inside,
        addresses: links.outside,
        front: labels.front,
        imposed: false,
        pages,
        outline,
    }
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

/// The headings of all pages with their places.
fn outline(pieces: &[Piece], leaves: &[Leaf], tops: &[Vec<f64>]) -> Vec<OutlineEntry> {
    let mut outline = Vec::new();
    for (page, (leaf, tops)) in leaves.iter().zip(tops).enumerate() {
        for (piece, y) in pieces.get(leaf.pieces.clone()).unwrap_or(&[]).iter().zip(tops) {
            outline.extend(piece.headings.iter().map(|heading| {
                let title = heading.words.clone();
                OutlineEntry { level: heading.level, title, page, y: *y }
            }));
        }
    }
    outline
}

/// The entry of the outline of each block, by the block's index among the items.
fn entries_of_blocks(pieces: &[Piece]) -> BTreeMap<usize, usize> {
    let headings = pieces.iter().flat_map(|piece| &piece.headings).enumerate();
    headings.filter_map(|(entry, heading)| Some((heading.block?, entry))).collect()
}

/// The links of all pages.
#[derive(Default)]
struct Links {
    inside: Vec<Link>,
    outside: Vec<WebLink>,
}

/// What every page is put together with.
struct PageAssembly<'a> {
    setter: Setter<'a>,
    score: &'a Score,
    outline: &'a [OutlineEntry],
    /// The entry of the outline of each block, by the block's index among the items.
    entries: BTreeMap<usize, usize>,
    running: Running<'a>,
    labels: Labels,
    /// How many pages there are.
    count: usize,
    /// The first page of the body.
    first_of_body: usize,
}

impl PageAssembly<'_> {
    /// The page of an index, with its pieces at their heights. They are left without their marks.
    fn page(&self, page: usize, pieces: &mut [Piece], tops: &[f64], links: &mut Links) -> Page {
        let Setter { fonts, sheet, .. } = self.setter;
        let header = &self.score.header;
        let left = sheet.left(page + 1);
        let numbers = self.link(page, pieces, tops, links);
        let blank = pieces.is_empty() && self.count > 1;
        let framed = !blank && !pieces.iter().any(|piece| piece.bare);
        let mut nodes = Vec::new();
        if header.running_heads && framed && page >= self.first_of_body {
            let words = self.running.over(page, sheet);
            nodes.extend(words.map(|words| running::head(fonts, sheet, words, page)));
        }
        nodes.extend(group_blocks(self.score, left, pieces, tops));
        nodes.extend(numbers);
        if framed {
            let copyright = header.copyright.as_deref().filter(|_| !header.title_page);
            let label = (self.count > 1).then(|| self.labels.of(page));
            nodes.extend(running::foot(fonts, sheet, page, copyright, label.as_deref()));
        }
        let lines = self.setter.lines.clone();
        Page { width: sheet.width, height: sheet.height, name: self.name(page), nodes, lines }
    }

    /// Adds the links of the pieces of a page; the page numbers that lines of the contents end with.
    fn link(&self, page: usize, pieces: &[Piece], tops: &[f64], links: &mut Links) -> Vec<Node> {
        let left = self.setter.sheet.left(page + 1);
        let mut numbers = Vec::new();
        for (piece, y) in pieces.iter().zip(tops) {
            let moved = Vec2::new(left, *y);
            links.outside.extend(piece.addresses.iter().map(|(area, address)| WebLink {
                page,
                area: *area + moved,
                address: address.to_string(),
            }));
            links.inside.extend(piece.links.iter().filter_map(|link| {
                Some(Link { page, area: link.area + moved, to: *self.entries.get(&link.item)? })
            }));
            let Some(to) = piece.leads_to else { continue };
            let Some(entry) = self.outline.get(to) else { continue };
            let line = ContentsLine { piece, left, y: *y };
            numbers.extend(line.number(&self.setter, to, &self.labels.of(entry.page)));
            links.inside.push(Link { page, area: line.area(self.setter.sheet), to });
        }
        numbers
    }

    /// What a page is called, for a reader who cannot see it.
    fn name(&self, page: usize) -> String {
        let title = self.score.header.title.as_deref().unwrap_or_default();
        let (number, count) = (page + 1, self.count);
        match (title.is_empty(), count) {
            (true, _) => format!("Page {number} of {count}"),
            (false, 1) => title.to_owned(),
            (false, _) => format!("{title}, page {number} of {count}"),
        }
    }
}

/// Marks of a page in place, those of one block in a group. The pieces are left without them: no
/// piece stands on two pages, and copies of all marks of a book take time.
fn group_blocks(score: &Score, left: f64, pieces: &mut [Piece], tops: &[f64]) -> Vec<Node> {
    let mut nodes: Vec<Node> = Vec::new();
    let mut open: Option<(usize, Group)> = None;
    for (piece, y) in pieces.iter_mut().zip(tops) {
        let marks = std::mem::take(&mut piece.nodes).into_iter();
        let moved = marks.map(|node| node.transform(1.0, left, *y));
        let block = piece.block.and_then(|i| Some((i, block::of_item(score.items.get(i)?)?)));
        let same = matches!((&open, block), (Some((a, _)), Some((b, _))) if *a == b);
        if !same {
            nodes.extend(open.take().map(|(_, group)| Node::Group(group)));
        }
        match (&mut open, block) {
            (Some((_, group)), _) => group.children.extend(moved),
            (None, Some((index, block))) => {
                open = Some((index, spoken::group(block, moved.collect())));
            }
            (None, None) => nodes.extend(moved),
        }
    }
    nodes.extend(open.map(|(_, group)| Node::Group(group)));
    nodes
}
