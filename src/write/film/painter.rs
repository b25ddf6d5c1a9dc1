//! Ink as pixels.

use super::outlines::outlines;
use crate::drawing::{Ink, Node};
use crate::film::{Film, GREY};
use crate::font::Fonts;
use crate::score::Colour;
use kurbo::{Affine, BezPath, PathEl, Rect, Vec2};
use resvg::tiny_skia::{
    Color, FillRule, LineJoin, Paint, Path, PathBuilder, Pixmap, Stroke, Transform,
};

/// Paints ink in colours, with an edge around it where there is one.
#[derive(Clone, Copy)]
pub(super) struct Painter<'a> {
    fonts: &'a Fonts,
    /// The colour around ink, and how far it reaches in pixels.
    edge: Option<(Colour, f64)>,
    /// Whether it paints ink, or its edge alone.
    inks: bool,
}

impl<'a> Painter<'a> {
    pub(super) fn of(film: &Film, fonts: &'a Fonts) -> Self {
        Self { fonts, edge: film.edge(), inks: true }
    }

    /// How far around ink anything is painted, in pixels.
    pub(super) fn reach(&self) -> f64 {
        self.edge.map_or(0.0, |(_, reach)| reach) + 1.0
    }

    /// The same without an edge: for what is painted again over itself, or over an edge.
    pub(super) fn without_edge(self) -> Self {
        Self { edge: None, ..self }
    }

    /// The same for the edge alone; nothing where there is none.
    pub(super) fn edge_alone(self) -> Option<Self> {
        self.edge.map(|_| Self { inks: false, ..self })
    }

    pub(super) fn fonts(&self) -> &'a Fonts {
        self.fonts
    }

    /// Paints nodes on pixels whose upper left corner is a point of their space.
    pub(super) fn put(&self, onto: &mut Pixmap, corner: Vec2, nodes: &[Node], ink: Colour) {
        self.put_outlines(onto, corner, &outlines(nodes, self.fonts), ink);
    }

    /// Paints outlines.
    pub(super) fn put_outlines(
        &self,
        onto: &mut Pixmap,
        corner: Vec2,
        outlines: &[(BezPath, Ink)],
        ink: Colour,
    ) {
        let map = Affine::translate(-corner);
        let paths = outlines.iter().filter_map(|(path, own)| Some((to_path(&(map * path))?, *own)));
        let paths: Vec<(Path, Ink)> = paths.collect();
        if let Some((edge, reach)) = self.edge {
            let width = (reach * 2.0) as f32;
            let stroke = Stroke { width, line_join: LineJoin::Round, ..Stroke::default() };
            let paint = paint(edge, Ink::Black);
            // All edges lie under all ink.
            for (path, _) in &paths {
                onto.stroke_path(path, &paint, &stroke, Transform::identity(), None);
            }
        }
        for (path, own) in paths.iter().filter(|_| self.inks) {
            let paint = paint(ink, *own);
            onto.fill_path(path, &paint, FillRule::Winding, Transform::identity(), None);
        }
    }
}

/// The box of the ink of nodes.
pub(super) fn bounds(nodes: &[Node], fonts: &Fonts) -> Option<Rect> {
    nodes.iter().filter_map(|node| node.bounds(fonts)).reduce(|a, b| a.union(b))
}

fn paint(colour: Colour, ink: Ink) -> Paint<'static> {
    let mut paint = Paint::default();
    let [red, green, blue] = colour.parts();
    let mut color = Color::from_rgba8(red, green, blue, u8::MAX);
    if ink == Ink::Grey {
        color.apply_opacity(GREY as f32);
    }
    paint.set_color(color);
    paint
}

fn to_path(path: &BezPath) -> Option<Path> {
    let mut builder = PathBuilder::new();
    for element in path.elements() {
        let xy = |point: &kurbo::Point| (point.x as f32, point.y as f32);
        match element {
            PathEl::MoveTo(p) => {
                let (x, y) = xy(p);
                builder.move_to(x, y);
            }
            PathEl::LineTo(p) => {
                let (x, y) = xy(p);
                builder.line_to(x, y);
            }
            PathEl::QuadTo(p1, p) => {
                let ((x1, y1), (x, y)) = (xy(p1), xy(p));
                builder.quad_to(x1, y1, x, y);
            }
            PathEl::CurveTo(p1, p2, p) => {
                let ((x1, y1), (x2, y2), (x, y)) = (xy(p1), xy(p2), xy(p));
                builder.cubic_to(x1, y1, x2, y2, x, y);
            }
            PathEl::ClosePath => builder.close(),
        }
    }
    builder.finish()
}
