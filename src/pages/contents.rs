//! The table of contents. Its lines are set before any page is broken, and as they are as tall with
//! a page number as without, the numbers are written in afterwards.

use super::column;
use super::column::{ColumnPiece, PartOf};
use super::contents_ground::{ChangedHeading, ContentsGround};
use super::pages_memo::PagesMemo;
use super::piece::{Piece, Pieces, grouped};
use super::prose;
use super::prose::WordStyle;
use super::setter::Setter;
use super::sheet::Sheet;
use crate::drawing::{Group, GroupKind, Kind, Mark, Node, Prose, Shape};
use crate::font::{FaceStyle, Fonts};
use crate::parallel::{Each, map_in_order};
use crate::rope::Rope;
use crate::score::Inline;
use crate::score::settings::Contents;
use kurbo::{Point, Rect};
use std::sync::Arc;

/// Indent of each level, in ems of prose (this and what follows: common practice, no source).
const INDENT: f64 = 1.6;
/// Room for a page number, in ems: four figures and a gap.
const NUMBER: f64 = 2.5;

/// Room on the right of an entry's words, in ems: a page number and the least of dots.
const RIGHT: f64 = 4.0;
/// Room over a line of a part, of a chapter, and of what is smaller or goes on, in ems.
const OVER_PART: f64 = 1.4;
const OVER_CHAPTER: f64 = 0.7;
const OVER_LINE: f64 = 0.25;

/// The most entries that are set again apart from all others.
const MOST_AGAIN: usize = 16;

impl Setter<'_> {
    /// A line for each heading of what follows, the body among it, and then of the index; `depth` says which.
    /// Blocks after the item over the answers are not listed.
    pub fn contents(
        &self,
        ground: ContentsGround,
        depth: Contents,
        memo: &mut PagesMemo,
    ) -> Rope<ColumnPiece> {
        let deepest = match depth {
            Contents::None => return Rope::default(),
            Contents::Headings => 2,
            Contents::Exercises => 3,
        };
        let again = memo.all_contents.take().and_then(|(known, lines)| {
            let changed = ground.changes_from(&known, deepest)?;
            self.contents_lines_again(lines, &changed, memo)
        });
        let lines =
            again.unwrap_or_else(|| self.contents_lines(&ground.all(), deepest, memo).into());
        if memo.keeps() {
            memo.all_contents = Some((ground, lines.clone()));
        }
        lines
    }

    /// Lines of which some have other words; nothing where too many have, or the last, which nothing follows.
    fn contents_lines_again(
        &self,
        lines: Rope<ColumnPiece>,
        changed: &[ChangedHeading<'_>],
        memo: &mut PagesMemo,
    ) -> Option<Rope<ColumnPiece>> {
        if changed.is_empty() {
            return Some(lines);
        }
        if changed.len() > MOST_AGAIN {
            return None;
        }
        let mut replaced = Vec::with_capacity(changed.len());
        for ChangedHeading { entry, level, words, known } in changed {
            let is_of_it = |line: &ColumnPiece| line.entry() == Some(*entry);
            let first = lines.iter().position(is_of_it)?;
            let old = lines.iter_from(first).take_while(|line| is_of_it(line)).count();
            if first + old == lines.len() {
                return None;
            }
            let own: Pieces =
                self.contents_entry(*level, words).into_iter().map(Arc::new).collect();
            let entry = PartOf::Entry(*entry);
            let new = own.iter().map(|line| ColumnPiece::new(line.clone(), entry)).collect();
            replaced.push((first..first + old, new));
            memo.contents.forget(known);
            memo.contents.put(words, (*level, own));
        }
        Some(lines.replaced(replaced))
    }

    fn contents_lines(
        &self,
        all: &[(u8, &Arc<str>)],
        deepest: u8,
        memo: &mut PagesMemo,
    ) -> Vec<ColumnPiece> {
        let listed = all.iter().enumerate().filter(|(_, (level, _))| *level <= deepest);
        let known = |(entry, (level, words)): (usize, &(u8, &Arc<str>))| {
            let known = memo.contents.get(words).filter(|(known, _)| known == level);
            (entry, *level, Arc::clone(words), known.map(|(_, lines)| lines.clone()))
        };
        let listed: Vec<_> = listed.map(known).collect();
        let set = map_in_order(Each::Small, listed, |(entry, level, words, known)| {
            let new = || self.contents_entry(level, &words).into_iter().map(Arc::new).collect();
            let was_known = known.is_some();
            let own = known.unwrap_or_else(new);
            (entry, level, words, own, was_known)
        });
        let mut lines: Vec<ColumnPiece> = Vec::with_capacity(set.len() + 1);
        if !set.is_empty() {
            lines.push(self.contents_heading().into());
        }
        for (entry, level, words, own, was_known) in set {
            let entry = PartOf::Entry(entry);
            lines.extend(own.iter().map(|line| ColumnPiece::new(line.clone(), entry)));
            if !was_known {
                memo.contents.put(&words, (level, own));
            }
        }
        if let Some(last) = lines.last_mut() {
            last.measure.keep_with_next = false;
        }
        memo.contents.end_turn();
        lines
    }

    /// What stands over the contents. The contents do not list it.
    fn contents_heading(&self) -> Piece {
        let mut row = self.heading_row(self.context.printed.contents);
        row.keep_with_next = true;
        row.said = Some(Prose::Heading { level: 1, item: column::OVER_CONTENTS });
        row
    }

    /// The lines of a heading.
    fn contents_entry(&self, level: u8, words: &str) -> Vec<Piece> {
        let size = self.sheet.prose;
        let face = if level <= 1 { FaceStyle::Semibold } else { FaceStyle::Regular };
        let indent = f64::from(level.saturating_sub(1)) * INDENT * size;
        let width = self.sheet.text_width() - indent - RIGHT * size;
        let text = [Inline::Text(words.to_owned())];
        let style = WordStyle { kind: Kind::Text, face, size };
        let rows = prose::lines(self.fonts, &text, style, width);
        let last = rows.len();
        let line = |(nth, marks)| {
            let first = nth == 0;
            let before = match level {
                0 if first => size * OVER_PART,
                1 if first => size * OVER_CHAPTER,
                _ => size * OVER_LINE,
            };
            Piece {
                elastic: false,
                begins: first,
                keep_with_next: nth + 1 < last || (first && level <= 1),
                leads: nth + 1 == last,
                ..self.row(marks, indent, size, before)
            }
        };
        let lines = rows.into_iter().enumerate().map(line).collect();
        grouped(lines, Prose::Contents { entry: 0 })
    }
}

/// A line of the contents at its place on its page: its left end and its top, in points.
pub struct ContentsLine<'a> {
    /// The line.
    pub piece: &'a Piece,
    /// The left margin.
    pub left: f64,
    /// Its top.
    pub y: f64,
}

impl ContentsLine<'_> {
    /// Where it leads from: the whole line.
    pub fn area(&self, sheet: &Sheet) -> Rect {
        Rect::new(self.left, self.y, self.left + sheet.text_width(), self.y + self.piece.height)
    }

    /// The page number of the entry of the outline it leads to, and the dots before it.
    pub fn number(&self, (fonts, sheet): (&Fonts, &Sheet), entry: usize, label: &str) -> Vec<Node> {
        let size = sheet.prose;
        let inks = self.piece.nodes.iter().filter_map(|node| node.bounds(fonts));
        let end = inks.map(|ink| ink.x1).fold(0.0, f64::max);
        let baseline = self.piece.nodes.iter().find_map(baseline_of);
        let y = self.y + baseline.unwrap_or(self.piece.height);
        let width = |words: &str| fonts.text.shape(words, FaceStyle::Regular).width * size;
        let put = |words: &str, x: f64, prose: Prose| {
            let run = fonts.text.shape(words, FaceStyle::Regular);
            let at = Point::new(self.left + x, y);
            let mark = Node::Mark(Mark::new(Kind::Text, Shape::Text { run, at, size }));
            Node::from(Group { kind: GroupKind::Prose(prose), place: None, children: vec![mark] })
        };
        // Measured from the right, so that the dots of all lines stand under each other.
        let right = sheet.text_width();
        let pitch = width(" .");
        let until = right - NUMBER * size;
        let dots = ((until - end - size) / pitch).floor().max(0.0) as usize;
        let mut nodes = Vec::new();
        if dots > 0 {
            nodes.push(put(&" .".repeat(dots), until - dots as f64 * pitch, Prose::Decoration));
        }
        nodes.push(put(label, right - width(label), Prose::Contents { entry }));
        nodes
    }
}

fn baseline_of(node: &Node) -> Option<f64> {
    match node {
        Node::Mark(Mark { shape: Shape::Text { at, .. }, .. }) => Some(at.y),
        Node::Mark(_) | Node::Group(_) | Node::Inset(_) => None,
    }
}
