//! Systems and prose to pages.

use crate::Compiled;
use crate::drawing::{Drawing, Kind, Mark, Node, Page, Shape};
use crate::font::{FaceStyle, Fonts};
use crate::score::{Item, Score};
use kurbo::Point;

/// Lays a score out.
pub fn lay_out(score: &Score, fonts: &Fonts) -> Compiled {
    let points = 72.0 / 25.4;
    let (width, height) = (score.header.paper.width * points, score.header.paper.height * points);
    let words = |text: &str| {
        let run = fonts.text.shape(text, FaceStyle::Bold);
        let shape = Shape::Text { run, at: Point::new(50.0, 70.0), size: 20.0 };
        vec![Node::Mark(Mark::new(Kind::Title, shape))]
    };
    let title = score.header.title.clone().unwrap_or_default();
    let page = Page { width, height, name: title.clone(), nodes: words(&title) };
    let blocks = score.items.iter().filter_map(|item| match item {
        Item::Block(block) => Some(block),
        _ => None,
    });
    let picture = |(nth, block): (usize, &crate::score::Block)| {
        let name = block.name.clone().unwrap_or_else(|| (nth + 1).to_string());
        let title = block.title.clone().unwrap_or_else(|| name.clone());
        let nodes = words(&title);
        (name, Page { width: 300.0, height: 100.0, name: title, nodes })
    };
    Compiled {
        drawing: Drawing {
            title: score.header.title.clone(),
            author: score.header.author.clone(),
            language: score.header.language.clone(),
            pages: vec![page],
        },
        blocks: blocks.enumerate().map(picture).collect(),
    }
}
