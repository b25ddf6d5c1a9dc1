//! The notation key on a page: a small heading, then its lines.

use super::column;
use super::column::ColumnPiece;
use super::index;
use super::pages_memo::PagesMemo;
use super::piece::{Opens, Piece, grouped};
use super::prose;
use super::prose::WordStyle;
use super::setter::Setter;
use super::sheet::HeadingMeasures;
use crate::drawing::{Group, GroupKind, Kind, Node, Prose};
use crate::engrave::key;
use crate::font::FaceStyle;
use crate::score::Inline;
use crate::score::legend::Legend;
use crate::score::settings::{Chapters, NotationKey};
use crate::score::{Header, PrintedWords, Score, legend};
use std::sync::Arc;

impl Setter<'_> {
    /// The key of a score that asks for one at a place, which may have been set before.
    pub fn known_key(
        &self,
        score: &Score,
        at: NotationKey,
        memo: &mut PagesMemo,
    ) -> Vec<ColumnPiece> {
        if score.header.key != at || at == NotationKey::None {
            return Vec::new();
        }
        let legend = legend::of(score);
        if let Some((known, pieces)) = &memo.key
            && *known == legend
        {
            return pieces.clone();
        }
        let pieces = self.key(&score.header, &legend, at).into_iter();
        let pieces: Vec<ColumnPiece> = pieces.map(ColumnPiece::from).collect();
        if memo.keeps() {
            memo.key = Some((legend, pieces.clone()));
        }
        pieces
    }

    /// The key of a legend.
    fn key(&self, header: &Header, legend: &Legend, at: NotationKey) -> Vec<Piece> {
        let sheet = self.sheet;
        let width = sheet.text_width();
        let lines = key::engrave(&self.context, legend, header.key_span, width / sheet.space);
        if lines.is_empty() {
            return Vec::new();
        }
        let HeadingMeasures { size, before, after } = sheet.heading(2);
        let words = [Inline::Text(self.context.printed.key.to_owned())];
        let style = WordStyle { kind: Kind::Heading, face: FaceStyle::Semibold, size };
        let heading = prose::lines(self.fonts, &words, style, width);
        let mut pieces: Vec<Piece> = heading
            .into_iter()
            .map(|marks| Piece { keep_with_next: true, ..self.row(marks, 0.0, size, before) })
            .collect();
        let item = if at == NotationKey::FirstPage {
            column::OVER_FIRST_KEY
        } else {
            column::OVER_LAST_KEY
        };
        pieces = grouped(pieces, Prose::Heading { level: 2, item });
        if at == NotationKey::LastPage && header.chapters != Chapters::Follow {
            pieces.iter_mut().take(1).for_each(|piece| piece.opens = Opens::NewPage);
        }
        // Under the title it stands over the contents, which do not list it.
        if at == NotationKey::LastPage || header.title_page {
            let heading = index::heading(self.context.printed.key);
            pieces.iter_mut().take(1).for_each(|piece| piece.headings = vec![heading.clone()]);
        }
        let count = lines.len();
        for (nth, line) in lines.into_iter().enumerate() {
            let piece = self.system(&line.system);
            let kind = GroupKind::Block {
                title: said(self.context.printed, &line.names),
                spoken: Arc::default(),
                at: 0,
            };
            let children = piece.nodes.to_vec();
            pieces.push(Piece {
                nodes: [Node::from(Group { kind, place: None, children })].into(),
                before: if nth == 0 { after } else { sheet.between_systems },
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
pub fn said(printed: &PrintedWords, names: &[String]) -> String {
    format!("{}: {}", printed.key, names.join(", "))
}
