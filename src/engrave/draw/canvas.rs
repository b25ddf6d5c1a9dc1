//! Where marks of one line of music are collected, with the outline of their ink.

use super::skyline::Skyline;
use crate::drawing::{Group, GroupKind, Mark, Node, Shape};
use crate::engrave::engraver::Engraver;
use crate::score::Span;
use kurbo::Rect;

/// Marks of a line in drawing order, and the outline they make.
pub struct Canvas<'a> {
    /// The engraver whose marks these are.
    pub engraver: &'a Engraver<'a>,
    /// Groups that are open, without their marks: what they are, and which of `nodes` is their first.
    open: Vec<(GroupKind, Option<Span>, usize)>,
    nodes: Vec<Node>,
    /// The ink so far.
    pub skyline: Skyline,
}

impl<'a> Canvas<'a> {
    /// An empty canvas.
    pub fn new(engraver: &'a Engraver<'a>) -> Self {
        Self { engraver, open: Vec::new(), nodes: Vec::new(), skyline: Skyline::default() }
    }

    /// Adds a mark to the innermost open group; the box of its ink.
    pub fn push(&mut self, mark: Mark) -> Rect {
        let bounds = self.engraver.bounds(&mark.shape);
        self.skyline_of(&mark, bounds);
        self.nodes.push(Node::Mark(mark));
        bounds
    }

    fn skyline_of(&mut self, mark: &Mark, bounds: Rect) {
        match &mark.shape {
            Shape::Box(_) | Shape::Picture { .. } | Shape::Text { .. } => self.skyline.add(bounds),
            Shape::Path(_) | Shape::Glyph { .. } => {
                mark.shape.each_strip(self.engraver.fonts, |strip| self.skyline.add(strip));
            }
        }
    }

    /// Adds marks that were drawn elsewhere.
    pub fn push_drawn(&mut self, node: Node) {
        self.add_ink(&node);
        self.nodes.push(node);
    }

    fn add_ink(&mut self, node: &Node) {
        match node {
            Node::Mark(mark) => self.skyline_of(mark, self.engraver.bounds(&mark.shape)),
            Node::Group(group) => group.children.iter().for_each(|child| self.add_ink(child)),
            Node::Inset(inset) => inset.flat().iter().for_each(|child| self.add_ink(child)),
        }
    }

    /// Adds a mark with the place it comes from.
    pub fn push_at(&mut self, mark: Mark, place: Option<Span>) -> Rect {
        self.push(mark.at_place(place))
    }

    /// Opens a group.
    pub fn open(&mut self, kind: GroupKind, place: Option<Span>) {
        self.open.push((kind, place, self.nodes.len()));
    }

    /// Closes the innermost group.
    pub fn close(&mut self) {
        if let Some((kind, place, first)) = self.open.pop()
            && first < self.nodes.len()
        {
            let children = self.nodes.split_off(first);
            self.nodes.push(Group { kind, place, children }.into());
        }
    }

    /// Everything collected.
    pub fn finish(mut self) -> (Vec<Node>, Rect) {
        while !self.open.is_empty() {
            self.close();
        }
        let ink = self.skyline.whole();
        (self.nodes, ink)
    }
}
