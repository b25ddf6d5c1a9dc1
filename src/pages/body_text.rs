//! The words of the body: headings and prose.

use super::column::ColumnPiece;
use super::piece::{OutlineHeading, Piece, Pieces, grouped};
use super::prose;
use super::prose::WordStyle;
use super::prose_blocks;
use super::setter::Setter;
use super::sheet::HeadingMeasures;
use super::words_memo::{SetWords, WordsContext, WordsMemo};
use crate::drawing::{Kind, Mark, Prose, Shape};
use crate::font::FaceStyle;
use crate::parallel::{Each, map_in_order};
use crate::score::printing::BlocksOnPages;
use crate::score::settings::Chapters;
use crate::score::{Header, Inline, Item, Score};
use kurbo::Point;
use std::borrow::Cow;
use std::sync::Arc;

impl Setter<'_> {
    /// The words of items by their indices, each of which may have been set before; nothing for music.
    pub fn words(
        &self,
        score: &Score,
        indices: impl Iterator<Item = usize>,
        memo: &mut WordsMemo,
    ) -> Vec<Vec<ColumnPiece>> {
        let (mut all, mut new) = (Vec::new(), Vec::new());
        for index in indices {
            let known = item_of_words(score, index).map_or_else(
                || Some(Pieces::default()),
                |item| {
                    let told = WordsContext::of(self, score, index, item);
                    let known = memo.known(item, &told);
                    if known.is_none() {
                        new.push((all.len(), (index, item), told));
                    }
                    known
                },
            );
            all.push((index, known.unwrap_or_default()));
        }
        let set = map_in_order(Each::Small, new, |(at, (index, item), told)| {
            let pieces = self.new_words(&score.header, (index, item), &told).into_iter();
            (at, item, SetWords { told, pieces: pieces.map(Arc::new).collect() })
        });
        for (at, item, set) in set {
            if let Some((_, pieces)) = all.get_mut(at) {
                *pieces = set.pieces.clone();
            }
            memo.keep(item, set);
        }
        let placed = |(index, pieces): (usize, Pieces)| {
            let id = self.ids.id(index);
            pieces.iter().map(|piece| ColumnPiece::of_item(piece.clone(), id)).collect()
        };
        all.into_iter().map(placed).collect()
    }

    fn new_words(
        &self,
        header: &Header,
        (index, item): (usize, &Item),
        told: &WordsContext,
    ) -> Vec<Piece> {
        let mut set = match item {
            Item::Heading { level: 0, text, .. } if header.chapters != Chapters::Follow => {
                vec![self.part_page(text)]
            }
            Item::Heading { level, text, number, .. } => {
                self.heading(index, *level, &numbered(text, *number))
            }
            Item::Prose(prose) => prose_blocks::set(self, index, prose),
            Item::Block(_) => Vec::new(),
        };
        if header.blocks == (BlocksOnPages::OneAPage { centred: true }) {
            self.centre(&mut set);
        }
        if let (Some(first), true) = (set.first_mut(), told.under_music) {
            first.before = first.before.max(self.sheet.after_block);
        }
        set
    }

    fn heading(&self, item: usize, level: u8, text: &[Inline]) -> Vec<Piece> {
        let HeadingMeasures { size, before, .. } = self.sheet.heading(level);
        let width = self.sheet.text_width();
        let face = heading_face(level);
        let style = WordStyle { kind: Kind::Heading, face, size };
        let lines = prose::lines(self.fonts, text, style, width);
        let mut pieces = self.rows(lines, 0.0, size, before);
        pieces.iter_mut().for_each(|piece| piece.keep_with_next = true);
        if let Some(first) = pieces.first_mut() {
            let words = prose::words(text).into();
            first.headings = vec![OutlineHeading { level, words, nth: Some(0) }];
        }
        grouped(pieces, Prose::Heading { level, item })
    }

    /// A chapter's heading of one line, set smaller where it is wider than the text.
    pub fn heading_row(&self, words: &str) -> Piece {
        let HeadingMeasures { size, before, .. } = self.sheet.heading(1);
        let run = self.fonts.text.shape(words, FaceStyle::Semibold);
        let size = size.min(self.sheet.text_width() / run.width.max(f64::MIN_POSITIVE));
        let text = Shape::Text { run, at: Point::ZERO, size };
        let marks = vec![Mark::new(Kind::Heading, text)];
        self.row(marks, 0.0, size, before)
    }
}

impl WordsContext {
    fn of(setter: &Setter<'_>, score: &Score, index: usize, item: &Item) -> Self {
        let above = index.checked_sub(1).and_then(|above| score.items.get_made(above));
        let heading = match item {
            Item::Heading { level, number, .. } => Some((*level, *number)),
            Item::Prose(_) | Item::Block(_) => None,
        };
        let mut pictures = Vec::new();
        if let Item::Prose(prose) = item {
            prose.for_each_figure(&mut |figure| {
                let picture = setter.pictures.get(&(prose.at + figure.span.start()));
                pictures.push(picture.map(|picture| Arc::as_ptr(picture) as usize));
            });
        }
        Self {
            heading,
            pictures,
            under_music: matches!(above, Some(Item::Block(_))),
            references: item.references().into_iter().map(|r| setter.answers.say(r)).collect(),
        }
    }
}

/// The item of an index as its words are set: where it stands counts only where it shows pictures, which are known by
/// their places.
fn item_of_words(score: &Score, index: usize) -> Option<&Item> {
    let made = score.items.get_made(index)?;
    let mut pictures = false;
    if let Item::Prose(prose) = made {
        prose.for_each_figure(&mut |_| pictures = true);
    }
    if pictures { score.items.get(index) } else { Some(made) }
}

/// The face of headings of a level: sections are told from chapters by more than their size.
fn heading_face(level: u8) -> FaceStyle {
    match level {
        0 | 1 => FaceStyle::Semibold,
        _ => FaceStyle::SemiboldItalic,
    }
}

/// The words of a heading with the number of its chapter.
pub fn numbered(text: &[Inline], number: Option<u32>) -> Cow<'_, [Inline]> {
    match number {
        None => Cow::Borrowed(text),
        Some(number) => {
            let number = Inline::Text(format!("{number}  "));
            Cow::Owned(std::iter::once(number).chain(text.iter().cloned()).collect())
        }
    }
}
