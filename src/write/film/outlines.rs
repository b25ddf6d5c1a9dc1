//! Ink as outlines.

use crate::drawing::{Ink, Mark, Node, Shape};
use crate::font::Fonts;
use kurbo::{Affine, BezPath, Shape as _};

/// How exactly outlines are drawn, in pixels.
const TOLERANCE: f64 = 0.02;

/// The outlines of all marks of nodes, in the space they are shown in.
pub(super) fn outlines(nodes: &[Node], fonts: &Fonts) -> Vec<(BezPath, Ink)> {
    let mut found = Vec::new();
    add(nodes, Affine::IDENTITY, fonts, &mut found);
    found
}

fn add(nodes: &[Node], map: Affine, fonts: &Fonts, found: &mut Vec<(BezPath, Ink)>) {
    for node in nodes {
        match node {
            Node::Group(group) => add(&group.children, map, fonts, found),
            Node::Mark(mark) => {
                found.extend(outline(mark, fonts).map(|path| (map * path, mark.ink)));
            }
            Node::Inset(inset) => {
                let inner = Affine::translate(inset.at) * Affine::scale(inset.scale);
                add(inset.marks.nodes(), map * inner, fonts, found);
            }
        }
    }
}

fn outline(mark: &Mark, fonts: &Fonts) -> Option<BezPath> {
    match &mark.shape {
        Shape::Box(rect) => Some(rect.to_path(TOLERANCE)),
        Shape::Path(path) => Some(path.clone()),
        Shape::Glyph { glyph, at, space } => {
            let map = Affine::translate(at.to_vec2()) * Affine::scale(*space);
            Some(map * fonts.music.outline(*glyph))
        }
        Shape::Text { run, at, size } => {
            let map = Affine::translate(at.to_vec2()) * Affine::scale(*size);
            Some(map * fonts.text.outline(run))
        }
        // Only prose has pictures.
        Shape::Picture { .. } => None,
    }
}
