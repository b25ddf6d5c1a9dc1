//! The notation key on a page: a small heading, then its lines.

use super::piece::{Opens, Piece, grouped};
use super::prose;
use super::prose::WordStyle;
use super::setter::Setter;
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
        let style = WordStyle { kind: Kind::Heading, face: FaceStyle::Bold, size };
        let heading = prose::lines(self.fonts, &words, style, width);
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
            pieces.iter_mut().take(1).for_each(|piece| piece.opens = Opens::NewPage);
        }
        let count = lines.len();
        for (nth, line) in lines.into_iter().enumerate() {
            let piece = self.system(&line.system);
            let kind = GroupKind::Block { title: said(&line.names), spoken: String::new(), at: 0 };
            let children = piece.nodes.to_vec();
            pieces.push(Piece {
                nodes: [Node::Group(Group { kind, place: None, children })].into(),
                before: if nth == 0 { sheet.after_title } else { sheet.between_systems },
                elastic: true,
                keep_with_next: nth + 1 < count,
                height: piece.height,
                ..Piece::default()
            });
        }
        pieces
    }
}

/// A line of the key in words.
pub fn said(names: &[String]) -> String {
    format!("{HEADING}: {}", names.join(", "))
}
