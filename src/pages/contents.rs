//! The table of contents. Its lines are set before any page is broken, and as they are as tall with
//! a page number as without, the numbers are written in afterwards.

use super::flow::{Heading, Piece, Setter, grouped};
use super::front::Labels;
use super::prose;
use super::sheet::Sheet;
use crate::drawing::{Group, GroupKind, Kind, Link, Mark, Node, OutlineEntry, Prose, Shape};
use crate::font::{FaceStyle, Fonts};
use crate::score::Inline;
use crate::score::settings::Contents;
use kurbo::{Point, Rect};

/// Indent of each level, in ems of prose.
const INDENT: f64 = 1.6;
/// Room for a page number, in ems: four figures and a gap.
const NUMBER: f64 = 2.5;

impl Setter<'_> {
    /// A line for each heading of the body and then of the index; `depth` says which.
    pub fn contents(&self, body: &[Piece], index: &[Heading], depth: Contents) -> Vec<Piece> {
        let deepest = match depth {
            Contents::None => return Vec::new(),
            Contents::Headings => 2,
            Contents::Exercises => 3,
        };
        let size = self.sheet.prose;
        let all = body.iter().flat_map(|piece| &piece.headings).chain(index);
        let mut lines = Vec::new();
        for (entry, heading) in all.enumerate().filter(|(_, h)| h.level <= deepest) {
            let style = if heading.level <= 1 { FaceStyle::Bold } else { FaceStyle::Regular };
            let indent = f64::from(heading.level.saturating_sub(1)) * INDENT * size;
            let width = self.sheet.text_width() - indent - 4.0 * size;
            let text = [Inline::Text(heading.words.clone())];
            let rows = prose::lines(self.fonts, &text, style, size, width, Kind::Text);
            let last = rows.len();
            for (nth, marks) in rows.into_iter().enumerate() {
                let first = nth == 0;
                let before = match heading.level {
                    0 if first => size * 1.4,
                    1 if first => size * 0.7,
                    _ => size * 0.25,
                };
                let mut line = self.row(marks, indent, size, before);
                line.elastic = false;
                line.begins = first;
                line.keep_with_next = nth + 1 < last || (first && heading.level <= 1);
                line.leads_to = (nth + 1 == last).then_some(entry);
                lines.extend(grouped(vec![line], Prose::Contents { entry }));
            }
        }
        if let Some(last) = lines.last_mut() {
            last.keep_with_next = false;
        }
        lines
    }
}

/// Writes the page number of a line of the contents and the dots before it, at the line's place on
/// its page; the link is the whole line.
pub fn number(
    fonts: &Fonts,
    sheet: &Sheet,
    (piece, left, y): (&Piece, f64, f64),
    (to, entry): (usize, &OutlineEntry),
    (page, labels): (usize, Labels),
) -> (Vec<Node>, Link) {
    let size = sheet.prose;
    let end = piece.nodes.iter().filter_map(|n| n.bounds(fonts)).map(|b| b.x1).fold(0.0, f64::max);
    let baseline = piece.nodes.iter().find_map(|node| match node {
        Node::Group(group) => group.children.iter().find_map(baseline_of),
        node => baseline_of(node),
    });
    let y_text = y + baseline.unwrap_or(piece.height);
    let right = sheet.text_width();
    let put = |words: &str, x: f64, prose: Prose| {
        let run = fonts.text.shape(words, FaceStyle::Regular);
        let at = Point::new(left + x, y_text);
        let mark = Node::Mark(Mark::new(Kind::Text, Shape::Text { run, at, size }));
        Node::Group(Group { kind: GroupKind::Prose(prose), place: None, children: vec![mark] })
    };
    let words = labels.of(entry.page);
    let width = fonts.text.shape(&words, FaceStyle::Regular).width * size;
    // Measured from the right, so that the dots of all lines stand under each other.
    let pitch = fonts.text.shape(" .", FaceStyle::Regular).width * size;
    let until = right - NUMBER * size;
    let dots = ((until - end - size) / pitch).floor().max(0.0) as usize;
    let mut nodes = Vec::new();
    if dots > 0 {
        nodes.push(put(&" .".repeat(dots), until - dots as f64 * pitch, Prose::Decoration));
    }
    nodes.push(put(&words, right - width, Prose::Contents { entry: to }));
    let area = Rect::new(left, y, left + right, y + piece.height);
    (nodes, Link { page, area, to })
}

fn baseline_of(node: &Node) -> Option<f64> {
    match node {
        Node::Mark(Mark { shape: Shape::Text { at, .. }, .. }) => Some(at.y),
        _ => None,
    }
}
