//! The glyphs that marks show, noted before the marks are written: so a page is written when the numbers are known that
//! glyphs have in the document, and nothing is kept of it but what is packed.

use super::face_key::FaceKey;
use super::glyphs::GlyphSet;
use crate::drawing::{InsetMarks, Node, Shape};
use crate::font::Fonts;

/// Notes the glyphs of marks. Those of lines that are written were noted when they were.
pub(super) fn note(nodes: &[Node], fonts: &Fonts, shown: &GlyphSet) {
    for node in nodes {
        match node {
            Node::Group(group) => note(&group.children, fonts, shown),
            Node::Inset(inset) => match &inset.marks {
                InsetMarks::Nodes(marks) => note(marks, fonts, shown),
                InsetMarks::Written(_) => {}
            },
            Node::Mark(mark) => note_shape(&mark.shape, fonts, shown),
        }
    }
}

fn note_shape(shape: &Shape, fonts: &Fonts, shown: &GlyphSet) {
    match shape {
        Shape::Text { run, .. } => {
            run.glyph_ids().for_each(|(face, id)| shown.add(FaceKey::Text(face), id));
        }
        Shape::Glyph { glyph, .. } => {
            if let Some(id) = fonts.music.glyph_id(*glyph) {
                shown.add(FaceKey::Music, id);
            }
        }
        Shape::Box(_) | Shape::Path(_) | Shape::Picture { .. } => {}
    }
}
