//! The notation key on a page: a small heading, then its lines.

use super::flow::{Piece, Setter, grouped};
use super::prose;
use crate::drawing::{Group, GroupKind, Kind, Node, Prose};
use crate::engrave::key;
use crate::font::FaceStyle;
use crate::score::Inline;
use crate::score::settings::{Chapters, NotationKey};
use crate::score::{Score, legend};

/// What stands over the key.
pub const HEADING: &str = "Notation key";

impl Setter<'_> {
    /// The key of a score that asks for one at a place.
    pub fn key(&self, score: &Score, at: NotationKey) -> Vec<Piece> {
        let sheet = self.sheet;
        let header = &score.header;
        if header.key != at || at == NotationKey::None {
            return Vec::new();
        }
        let width = sheet.text_width();
        let legend = legend::of(score);
        let lines = key::engrave(&self.context, &legend, header.key_span, width / sheet.space);
        if lines.is_empty() {
            return Vec::new();
        }
        let size = sheet.headings[1];
        let words = [Inline::Text(HEADING.to_owned())];
        let heading = prose::lines(self.fonts, &words, FaceStyle::Bold, size, width, Kind::Heading);
        let mut pieces: Vec<Piece> = heading
            .into_iter()
            .map(|marks| Piece {
                keep_with_next: true,
                ..self.row(marks, 0.0, size, sheet.before_heading)
            })
            .collect();
        let item = if at == NotationKey::FirstPage { usize::MAX - 1 } else { usize::MAX };
        pieces = grouped(pieces, Prose::Heading { level: 2, item });
        if at == NotationKey::LastPage && header.chapters != Chapters::Follow {
            pieces.iter_mut().take(1).for_each(|piece| piece.opens = super::flow::Opens::NewPage);
        }
        let count = lines.len();
        for (nth, line) in lines.into_iter().enumerate() {
            let scale = sheet.space * line.system.scale;
            let top = -line.system.ink.y0 * scale;
            let height = line.system.ink.height() * scale;
            let nodes = line.system.nodes.into_iter();
            let children = nodes.map(|node| node.transform(scale, 0.0, top)).collect();
            let kind = GroupKind::Block { title: said(&line.names), spoken: String::new() };
            pieces.push(Piece {
                nodes: vec![Node::Group(Group { kind, place: None, children })],
                height,
                before: if nth == 0 { sheet.after_title } else { sheet.between_systems },
                begins: false,
                keep_with_next: nth + 1 < count,
                ..self.row(Vec::new(), 0.0, size, 0.0)
            });
        }
        pieces
    }
}

/// A line of the key in words.
pub fn said(names: &[String]) -> String {
    format!("{HEADING}: {}", names.join(", "))
}
