//! The counts of bars, shown at the end of their rows.

use super::view::View;
use crate::score::{Bar, BlockWord, Placed};
use crate::source::Span;
use crate::syntax::tree::{Block, Content};

/// Words shown beside a text that are not in it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Inlay {
    /// The byte after which they are shown.
    pub at: usize,
    /// The words.
    pub text: String,
}

/// How the bars that are written in a range are counted: at the end of the line each stands in, with a line
/// between bars. A block that is written as it is counted, or shows no counts, has none.
#[must_use]
pub fn inlays(view: &View<'_>, range: Span) -> Vec<Inlay> {
    let file = view.source.file_at(range.start());
    let items = view.items_of(file).filter(|(at, _)| *at <= range.end());
    let blocks = items.filter_map(|(_, item)| item.block());
    let reached = blocks.filter(|block| block.whole().end() + block.at >= range.start());
    let mut all: Vec<Inlay> = reached.flat_map(|block| of_block(view, block)).collect();
    all.retain(|inlay| range.touches(inlay.at));
    all
}

fn of_block(view: &View<'_>, block: &Placed<Block>) -> Vec<Inlay> {
    match block.word.value {
        BlockWord::Groove | BlockWord::Fill | BlockWord::Exercise | BlockWord::Rudiment => {}
        // The bars of these are written elsewhere.
        BlockWord::Kit
        | BlockWord::Syllables
        | BlockWord::Variation
        | BlockWord::Context
        | BlockWord::Series
        | BlockWord::Edition => return Vec::new(),
    }
    if block.rows().any(|row| matches!(row.content, Content::Count(_))) {
        return Vec::new();
    }
    let Some(placed) = view.score_of(block) else { return Vec::new() };
    let mut inlays: Vec<Inlay> = Vec::new();
    for bar in placed.parts().flat_map(|part| &part.bars) {
        let line = view.source.line_at(block.at + bar.span.start());
        let Some(counts) = counts(bar) else { continue };
        match inlays.last_mut() {
            Some(last) if last.at == line.end() => {
                last.text.push_str(" | ");
                last.text.push_str(&counts);
            }
            Some(_) | None => inlays.push(Inlay { at: line.end(), text: counts }),
        }
    }
    inlays
}

fn counts(bar: &Bar) -> Option<String> {
    let words: Vec<&str> = bar.counts.iter().map(|syllable| syllable.text.as_str()).collect();
    (!words.is_empty()).then(|| words.join(" "))
}
