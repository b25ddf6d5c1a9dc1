//! Marks, and marks that belong together.

use super::kind::{GroupKind, Kind};
use super::picture::Picture;
use super::written::WrittenInk;
use crate::font::{Fonts, Glyph, GlyphRun, profile};
use crate::score::Span;
use crate::source::{LineTable, Location};
use kurbo::{Affine, BezPath, Point, Rect, Shape as _, Vec2};
use std::sync::Arc;

/// A mark or marks that belong together.
#[derive(Clone, Debug, PartialEq)]
pub enum Node {
    /// Marks that belong together.
    Group(Box<Group>),
    /// One mark.
    Mark(Mark),
    /// Marks drawn in a space of their own.
    Inset(Inset),
}

/// Marks drawn in a space of their own, shown at a place and in a size. Whoever shows them elsewhere
/// shares them.
#[derive(Clone, Debug, PartialEq)]
pub struct Inset {
    /// The marks.
    pub marks: InsetMarks,
    /// The length of their unit.
    pub scale: f64,
    /// Where their origin lies.
    pub at: Vec2,
}

/// What an inset shows.
#[derive(Clone, Debug, PartialEq)]
pub enum InsetMarks {
    /// Marks, shared with whoever shows them elsewhere.
    Nodes(Arc<[Node]>),
    /// Marks of which only the ink is left. A drawing that has any is for one file.
    Written(WrittenInk),
}

/// Marks that belong together: a bar, a note.
#[derive(Clone, Debug, PartialEq)]
pub struct Group {
    /// What it is.
    pub kind: GroupKind,
    /// Where it is written, counted from the start of the block it stands in.
    pub place: Option<Span>,
    /// Its parts, in drawing order.
    pub children: Vec<Node>,
}

/// Says in which line and column of a source places stand, for who walks over a page.
#[derive(Clone, Copy, Debug)]
pub struct PlaceFinder<'a> {
    lines: &'a LineTable,
    /// Where the block starts that the walk is in.
    at: usize,
}

impl<'a> PlaceFinder<'a> {
    /// Outside of blocks.
    pub fn new(lines: &'a LineTable) -> Self {
        Self { lines, at: 0 }
    }

    /// Inside a group.
    pub fn inside(self, group: &Group) -> Self {
        match group.kind {
            GroupKind::Block { at, .. } => Self { at, ..self },
            GroupKind::Prose(_)
            | GroupKind::System
            | GroupKind::Player(_)
            | GroupKind::Bar { .. }
            | GroupKind::SmallNotes
            | GroupKind::Note { .. } => self,
        }
    }

    /// File, line and column of a place.
    pub fn location(self, place: Option<Span>) -> Option<Location> {
        place.map(|span| self.lines.location(self.at.saturating_add(span.start())))
    }
}

/// One piece of ink.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// What it is.
    pub kind: Kind,
    /// Where it is written, counted from the start of the block it stands in.
    pub place: Option<Span>,
    /// How dark it is.
    pub ink: Ink,
    /// Its form.
    pub shape: Shape,
}

/// How dark ink is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Ink {
    /// Full black.
    #[default]
    Black,
    /// Half as dark, for what is thought and not played.
    Grey,
}

/// The form of a mark.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// A filled box: lines of the staff, stems, barlines.
    Box(Rect),
    /// A filled outline, nonzero winding: beams, slashes, ties, hairpin arms.
    Path(BezPath),
    /// A glyph of the music font.
    Glyph {
        /// Which.
        glyph: Glyph,
        /// Its origin.
        at: Point,
        /// Its size: the length of one staff space.
        space: f64,
    },
    /// A picture.
    Picture {
        /// Which.
        picture: Arc<Picture>,
        /// Where.
        area: Rect,
    },
    /// Shaped words.
    Text {
        /// The words and their glyphs.
        run: Arc<GlyphRun>,
        /// The left end of the baseline.
        at: Point,
        /// The em.
        size: f64,
    },
}

impl Mark {
    /// A black mark without a place.
    pub fn new(kind: Kind, shape: Shape) -> Self {
        Self { kind, place: None, ink: Ink::Black, shape }
    }

    /// The same mark with its place in the source.
    pub fn at_place(mut self, place: Option<Span>) -> Self {
        self.place = place;
        self
    }
}

impl Shape {
    /// The box of the shape's ink, in the shape's own unit.
    pub fn bounds(&self, fonts: &Fonts) -> Rect {
        let place = |rect: Rect, at: Point, size: f64| {
            Rect::from_points(
                at + rect.origin().to_vec2() * size,
                at + Vec2::new(rect.x1, rect.y1) * size,
            )
        };
        match self {
            Self::Box(rect) => *rect,
            Self::Picture { area, .. } => *area,
            Self::Path(path) => path.bounding_box(),
            Self::Glyph { glyph, at, space } => place(fonts.music.bounds(*glyph), *at, *space),
            Self::Text { run, at, size } => place(fonts.text.bounds(run), *at, *size),
        }
    }

    /// Tells the boxes that cover the shape's ink closer than its box does, in the shape's own unit.
    pub fn each_strip(&self, fonts: &Fonts, mut each: impl FnMut(Rect)) {
        match self {
            Self::Box(_) | Self::Picture { .. } | Self::Text { .. } => each(self.bounds(fonts)),
            Self::Path(path) => profile::strips(path).into_iter().for_each(each),
            Self::Glyph { glyph, at, space } => {
                let (at, space) = (at.to_vec2(), *space);
                let strips = fonts.music.strips(*glyph).iter();
                strips.for_each(|strip| each(strip.scale_from_origin(space) + at));
            }
        }
    }

    /// Scales the shape by `scale` and then moves it.
    pub fn scale_and_move(&mut self, scale: f64, dx: f64, dy: f64) {
        let map = Affine::translate((dx, dy)) * Affine::scale(scale);
        match self {
            Self::Box(rect) => *rect = map.transform_rect_bbox(*rect),
            Self::Picture { area, .. } => *area = map.transform_rect_bbox(*area),
            Self::Path(path) => path.apply_affine(map),
            Self::Glyph { at, space, .. } => {
                *at = map * *at;
                *space *= scale;
            }
            Self::Text { at, size, .. } => {
                *at = map * *at;
                *size *= scale;
            }
        }
    }

    /// The shape scaled by `scale` and then moved.
    pub fn scaled_and_moved(mut self, scale: f64, dx: f64, dy: f64) -> Self {
        self.scale_and_move(scale, dx, dy);
        self
    }
}

impl Node {
    /// The node with all its marks moved; what is shared stays, and is shown elsewhere.
    #[must_use]
    pub fn moved(self, dx: f64, dy: f64) -> Self {
        match self {
            Self::Mark(mark) => {
                Self::Mark(Mark { shape: mark.shape.scaled_and_moved(1.0, dx, dy), ..mark })
            }
            Self::Group(group) => {
                let Group { kind, place, children } = *group;
                let children = children.into_iter().map(|node| node.moved(dx, dy)).collect();
                Group { kind, place, children }.into()
            }
            Self::Inset(inset) => Self::Inset(Inset { at: inset.at + Vec2::new(dx, dy), ..inset }),
        }
    }

    /// The box of all ink in the node; none where it is empty.
    pub fn bounds(&self, fonts: &Fonts) -> Option<Rect> {
        match self {
            Self::Mark(mark) => Some(mark.shape.bounds(fonts)),
            Self::Group(group) => group
                .children
                .iter()
                .filter_map(|child| child.bounds(fonts))
                .reduce(|a, b| a.union(b)),
            Self::Inset(inset) => {
                let inks = inset.marks.nodes().iter().filter_map(|node| node.bounds(fonts));
                let ink = inks.reduce(|a, b| a.union(b))?;
                Some(inset.to_outside().transform_rect_bbox(ink))
            }
        }
    }

    /// Scales the node by `scale` and then moves it.
    pub fn scale_and_move(&mut self, scale: f64, dx: f64, dy: f64) {
        match self {
            Self::Mark(mark) => mark.shape.scale_and_move(scale, dx, dy),
            Self::Group(group) => {
                for child in &mut group.children {
                    child.scale_and_move(scale, dx, dy);
                }
            }
            Self::Inset(inset) => {
                inset.at = inset.at * scale + Vec2::new(dx, dy);
                inset.scale *= scale;
            }
        }
    }

    /// The node in the space it is shown in, without insets. Insets nest as deep as whoever drew them
    /// made them, which is once.
    pub fn flat(&self) -> Vec<Self> {
        match self {
            Self::Mark(_) => vec![self.clone()],
            Self::Group(group) => {
                let children = group.children.iter().flat_map(Self::flat).collect();
                vec![Group { children, ..group.head() }.into()]
            }
            Self::Inset(inset) => inset.flat(),
        }
    }

    /// The node scaled by `scale` and then moved.
    pub fn transform(mut self, scale: f64, dx: f64, dy: f64) -> Self {
        self.scale_and_move(scale, dx, dy);
        self
    }
}

impl Group {
    /// The group without its children.
    fn head(&self) -> Self {
        Self { kind: self.kind.clone(), place: self.place, children: Vec::new() }
    }
}

impl Inset {
    /// The map from its own space to the one it is shown in.
    fn to_outside(&self) -> Affine {
        Affine::translate(self.at) * Affine::scale(self.scale)
    }

    /// Its marks in the space it is shown in.
    pub fn flat(&self) -> Vec<Node> {
        let inner = self.marks.nodes().iter().flat_map(Node::flat);
        inner.map(|node| node.transform(self.scale, self.at.x, self.at.y)).collect()
    }
}

impl From<Group> for Node {
    fn from(group: Group) -> Self {
        Self::Group(Box::new(group))
    }
}

impl InsetMarks {
    /// The marks, as far as they are kept.
    pub fn nodes(&self) -> &[Node] {
        match self {
            Self::Nodes(nodes) => nodes,
            Self::Written(_) => &[],
        }
    }
}

impl From<Vec<Node>> for InsetMarks {
    fn from(nodes: Vec<Node>) -> Self {
        Self::Nodes(nodes.into())
    }
}
