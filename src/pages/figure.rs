//! Pictures among prose: at their natural size, but no wider than their words and no taller than a part of
//! the page.

use super::flat_text::FlatText;
use super::passage::{Inside, Passage, group};
use super::piece::Piece;
use crate::drawing::prose::Role;
use crate::drawing::{Kind, Mark, Node, Picture, Shape};
use crate::font::FaceStyle;
use crate::score::Figure;
use kurbo::Rect;
use std::sync::Arc;

/// The most of a page's height a picture takes (this and what follows: common practice, no source).
const MOST_HEIGHT: f64 = 0.6;
/// Over a caption, and its size as a share of that of prose.
const OVER_CAPTION: f64 = 0.3;
const CAPTION: f64 = 0.9;

/// Adds a picture and its caption to prose; what it shows is said in its place where it is not there.
pub(super) fn set(
    passage: &mut Passage<'_>,
    figure: &Figure,
    picture: Option<&Arc<Picture>>,
    (inside, nth): (&Inside, usize),
) {
    let Some(picture) = picture else {
        let mut flat = FlatText::default();
        flat.push(&figure.said, FaceStyle::Italic);
        let inside = inside.step(Role::Paragraph, nth);
        let lines = passage.lines(&flat, &inside);
        passage.rows(&lines, &inside);
        return;
    };
    let said = if figure.said.is_empty() { &figure.file } else { &figure.said };
    let at_figure = inside.step(Role::Figure(said.as_str().into()), nth);
    let most = passage.setter.sheet.room() * MOST_HEIGHT;
    let scale = (inside.width / picture.width).min(most / picture.height).min(1.0);
    let (width, height) = (picture.width * scale, picture.height * scale);
    let area = Rect::new(inside.left, 0.0, inside.left + width, height);
    let shape = Shape::Picture { picture: picture.clone(), area };
    let mark = Node::Mark(Mark::new(Kind::Picture, shape));
    passage.pieces.push(Piece {
        nodes: [group(passage.said(&at_figure.steps), vec![mark])].into(),
        height,
        before: inside.before,
        begins: true,
        keep_with_next: !figure.caption.is_empty(),
        ..Piece::default()
    });
    if !figure.caption.is_empty() {
        let mut caption = inside.step(Role::Caption, nth);
        caption.size *= CAPTION;
        caption.before = inside.size * OVER_CAPTION;
        let mut flat = FlatText::default();
        flat.push(&figure.caption, FaceStyle::Italic);
        let lines = passage.lines(&flat, &caption);
        passage.rows(&lines, &caption);
    }
}
