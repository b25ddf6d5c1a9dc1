//! The body as a column of pieces, each as tall as its ink.

use super::prose;
use super::prose::Flat;
use super::reference::Answers;
use super::sheet::Sheet;
use crate::drawing::{Group, GroupKind, Kind, Mark, Node, Prose, Shape};
use crate::engrave;
use crate::engrave::{Engraver, System};
use crate::font::{FaceStyle, Fonts};
use crate::score::Inline;
use crate::score::{Block, Header, Item};
use kurbo::{Point, Rect};
use std::sync::Arc;

/// Something that stays together on a page. Its nodes have y nought at the piece's top.
#[derive(Clone, Debug, Default)]
pub struct Piece {
    /// Its marks, x from the left margin.
    pub nodes: Vec<Node>,
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
    /// The block it is part of, by its index among the items.
    pub block: Option<usize>,
    /// Where it may stand.
    pub opens: Opens,
    /// The heading or the blocks it is the first line of.
    pub headings: Vec<Heading>,
    /// Words in it that lead to a block.
    pub links: Vec<LinkArea>,
    /// Words in it that are an address of the web, from its left margin and top.
    pub addresses: Vec<(Rect, Arc<str>)>,
    /// It fills a page that has neither a head nor a foot.
    pub bare: bool,
    /// A line of the contents: the entry of the outline it leads to.
    pub leads_to: Option<usize>,
}

/// A place in a piece that leads to a block.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LinkArea {
    /// The place, from the piece's left margin and top.
    pub area: Rect,
    /// The block's index among the items.
    pub item: usize,
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
    /// At the head of a right-hand page, which has an odd number.
    RightPage,
}

/// A heading as the outline and the contents list it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Heading {
    /// 0 for a part, 1 for `#`, 2 for `##`, 3 for an exercise.
    pub level: u8,
    /// Its words.
    pub words: String,
    /// The index of an exercise among the items.
    pub block: Option<usize>,
}

/// The size of a part's heading among the text, as a multiple of a chapter's.
const PART: f64 = 1.25;

/// What the body is set with.
#[derive(Clone, Copy)]
pub struct Setter<'a> {
    /// The faces.
    pub fonts: &'a Fonts,
    /// The page's measures.
    pub sheet: &'a Sheet,
    /// The engraver's hand.
    pub context: Engraver<'a>,
    /// What references print.
    pub answers: &'a Answers,
}

impl Setter<'_> {
    /// The title block.
    pub fn title(&self, header: &Header) -> Vec<Piece> {
        let sheet = self.sheet;
        let width = sheet.text_width();
        let mut pieces = Vec::new();
        let mut centred = |text: &Option<String>, kind, style, size, before| {
            let Some(text) = text else { return };
            let plain = [Inline::Text(text.clone())];
            for marks in prose::lines(self.fonts, &plain, style, size, width, kind) {
                let line = row_width(&marks);
                let row = self.row(marks, (width - line) / 2.0, size, before);
                let prose = if kind == Kind::Title { Prose::Title } else { Prose::Subtitle };
                pieces.extend(grouped(vec![row], prose));
            }
        };
        centred(&header.title, Kind::Title, FaceStyle::Bold, sheet.title, 0.0);
        centred(&header.subtitle, Kind::Subtitle, FaceStyle::Italic, sheet.subtitle, 3.0);
        if header.author.is_some() || header.level.is_some() {
            let ends = self.ends(header.level.as_deref(), header.author.as_deref());
            pieces.extend(grouped(vec![ends], Prose::Author));
        }
        pieces
    }

    /// Level on the left, author on the right.
    fn ends(&self, left: Option<&str>, right: Option<&str>) -> Piece {
        let size = self.sheet.prose;
        let mut marks = Vec::new();
        for (text, at_right) in [(left, false), (right, true)] {
            let Some(text) = text else { continue };
            let run = self.fonts.text.shape(text, FaceStyle::Regular);
            let x = if at_right { self.sheet.text_width() - run.width * size } else { 0.0 };
            marks.push(Mark::new(Kind::Author, Shape::Text { run, at: Point::new(x, 0.0), size }));
        }
        self.row(marks, 0.0, size, 6.0)
    }

    /// A heading, a paragraph, a list, or a block.
    pub fn item(&self, index: usize, item: &Item) -> Vec<Piece> {
        let sheet = self.sheet;
        match item {
            Item::Heading { level, text } => {
                let size = self.heading_size(*level);
                let bold = FaceStyle::Bold;
                let lines =
                    prose::lines(self.fonts, text, bold, size, sheet.text_width(), Kind::Heading);
                let mut pieces = self.rows(lines, 0.0, size, sheet.before_heading);
                pieces.iter_mut().for_each(|piece| piece.keep_with_next = true);
                if let Some(first) = pieces.first_mut() {
                    let words = prose::words(text);
                    first.headings = vec![Heading { level: *level, words, block: None }];
                }
                grouped(pieces, Prose::Heading { level: *level, item: index })
            }
            Item::Paragraph(text) => {
                grouped(self.paragraph(text, 0.0), Prose::Paragraph { item: index })
            }
            Item::List { numbered, entries } => self.list(index, *numbered, entries),
            Item::Block(block) => self.block(index, block, self.systems(block, sheet.text_width())),
        }
    }

    fn paragraph(&self, text: &[Inline], indent: f64) -> Vec<Piece> {
        let sheet = self.sheet;
        let width = sheet.text_width().min(sheet.measure) - indent;
        let regular = FaceStyle::Regular;
        let flat = Flat::of(text, regular, self.answers);
        let lines = flat.lines(self.fonts, sheet.prose, width, Kind::Text);
        let (lines, links): (Vec<_>, Vec<_>) =
            lines.into_iter().map(|line| (line.marks, (line.links, line.addresses))).unzip();
        let mut rows = self.rows(lines, indent, sheet.prose, sheet.between_paragraphs);
        for (row, (links, addresses)) in rows.iter_mut().zip(links) {
            row.addresses.extend(addresses.into_iter().map(|(x0, x1, address)| {
                (Rect::new(indent + x0, 0.0, indent + x1, row.height), address)
            }));
            row.links.extend(links.iter().map(|link| LinkArea {
                area: Rect::new(indent + link.x0, 0.0, indent + link.x1, row.height),
                item: link.item,
            }));
        }
        // The gap between paragraphs is so small that no part of it can be spared.
        rows.iter_mut().for_each(|row| row.elastic = false);
        rows
    }

    fn list(&self, item: usize, numbered: bool, entries: &[Vec<Inline>]) -> Vec<Piece> {
        let size = self.sheet.prose;
        let indent = size * 1.6;
        let mut pieces = Vec::new();
        for (index, entry) in entries.iter().enumerate() {
            let sign = if numbered { format!("{}.", index + 1) } else { "•".to_owned() };
            let mut rows = self.paragraph(entry, indent);
            if let Some(first) = rows.first_mut() {
                let run = self.fonts.text.shape(&sign, FaceStyle::Regular);
                let at = Point::new(indent - size * 0.5 - run.width * size, self.ascent(size));
                let mark = Mark::new(Kind::Text, Shape::Text { run, at, size });
                first.nodes.insert(0, Node::Mark(mark));
                if index > 0 {
                    first.before = self.sheet.between_paragraphs / 2.0;
                }
            }
            pieces.extend(grouped(rows, Prose::Entry { item, entry: index }));
        }
        pieces
    }

    /// A block's music in lines of a width in points.
    pub fn systems(&self, block: &Block, width: f64) -> Vec<System> {
        engrave::engrave(&self.context, block, width / self.sheet.space)
    }

    /// The same for a column between others.
    pub fn column(&self, block: &Block, width: f64) -> Vec<System> {
        engrave::engrave_column(&self.context, block, width / self.sheet.space)
    }

    /// A block: its title, then its lines.
    pub fn block(&self, index: usize, block: &Block, systems: Vec<System>) -> Vec<Piece> {
        let sheet = self.sheet;
        let mut pieces = Vec::new();
        let place = self.context.place(block.span);
        let title = self.block_title(block, place, sheet.text_width());
        if let Some(mut piece) = title {
            piece.before = sheet.before_block;
            piece.keep_with_next = true;
            piece.block = Some(index);
            piece.headings.extend(block_heading(index, block));
            pieces.push(piece);
        }
        let count = systems.len();
        for (line, system) in systems.into_iter().enumerate() {
            let scale = sheet.space * system.scale;
            let before = match (line, pieces.is_empty()) {
                (0, true) => sheet.before_block,
                (0, false) => sheet.after_title,
                _ => sheet.between_systems,
            };
            let nodes = system
                .nodes
                .into_iter()
                .map(|node| node.transform(scale, 0.0, -system.ink.y0 * scale))
                .collect();
            pieces.push(Piece {
                nodes,
                height: system.ink.height() * scale,
                before,
                elastic: line > 0 || pieces.is_empty(),
                begins: line == 0,
                keep_with_next: line + 2 == count && count > 2,
                block: Some(index),
                ..Piece::default()
            });
        }
        pieces
    }

    /// The size of a heading.
    fn heading_size(&self, level: u8) -> f64 {
        let [chapter, smaller] = self.sheet.headings;
        match level {
            0 => chapter * PART,
            1 => chapter,
            _ => smaller,
        }
    }

    /// A chapter's heading of one line.
    pub fn heading_row(&self, words: &str) -> Piece {
        let size = self.heading_size(1);
        let run = self.fonts.text.shape(words, FaceStyle::Bold);
        let text = Shape::Text { run, at: Point::ZERO, size };
        let marks = vec![Mark::new(Kind::Heading, text)];
        self.row(marks, 0.0, size, self.sheet.before_heading)
    }

    fn ascent(&self, size: f64) -> f64 {
        self.fonts.text.cap_height(FaceStyle::Regular) * size + size * 0.1
    }

    /// Lines of words under each other; the first has room over it.
    fn rows(&self, lines: Vec<Vec<Mark>>, x: f64, size: f64, before: f64) -> Vec<Piece> {
        let extra = size * self.sheet.leading - self.line_height(size);
        let count = lines.len();
        lines
            .into_iter()
            .enumerate()
            .map(|(index, marks)| {
                let before = if index == 0 { before } else { extra.max(0.0) };
                let mut piece = self.row(marks, x, size, before);
                // The first two lines and the last two stay together.
                piece.keep_with_next = (index == 0 && count > 1) || index + 2 == count;
                piece.elastic = index == 0;
                piece.begins = index == 0;
                piece
            })
            .collect()
    }

    pub fn line_height(&self, size: f64) -> f64 {
        self.ascent(size) + size * 0.25
    }

    /// Marks with their baseline at y nought as a piece.
    pub fn row(&self, marks: Vec<Mark>, x: f64, size: f64, before: f64) -> Piece {
        let y = self.ascent(size);
        let nodes = marks
            .into_iter()
            .map(|mark| Node::Mark(Mark { shape: mark.shape.scaled_and_moved(1.0, x, y), ..mark }))
            .collect();
        Piece {
            nodes,
            height: self.line_height(size),
            before,
            elastic: true,
            begins: true,
            ..Piece::default()
        }
    }
}

/// What the outline calls a block: its number and its title.
pub fn block_heading(index: usize, block: &Block) -> Option<Heading> {
    let number = block.printed_number();
    let words: Vec<String> = number.into_iter().chain(block.title.clone()).collect();
    let block = Some(index);
    (!words.is_empty()).then(|| Heading { level: 3, words: words.join("  "), block })
}

/// Pieces whose marks are said together.
pub fn grouped(mut pieces: Vec<Piece>, prose: Prose) -> Vec<Piece> {
    for piece in &mut pieces {
        let children = std::mem::take(&mut piece.nodes);
        let kind = GroupKind::Prose(prose);
        piece.nodes = vec![Node::Group(Group { kind, place: None, children })];
    }
    pieces
}

/// The right end of a row of marks.
pub fn row_width(marks: &[Mark]) -> f64 {
    marks
        .iter()
        .map(|mark| match &mark.shape {
            Shape::Text { run, at, size } => at.x + run.width * size,
            _ => 0.0,
        })
        .fold(0.0, f64::max)
}
