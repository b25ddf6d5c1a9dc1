//! Words beside a block that stands alone in its row: the column next to it is free.

use super::bond;
use super::grid::GridBlock;
use super::piece::{Bond, Piece};
use super::prose_blocks;
use super::setter::Setter;
use super::title::TitleParts;
use crate::score::{Item, Placed, ProseBlock, Score};
use kurbo::Vec2;

/// How much taller than its block such prose may be (common practice, no source).
const TALLER: f64 = 1.3;

/// Prose that can stand beside the block before it.
#[derive(Clone, Copy, Debug)]
pub struct Beside<'a> {
    /// Its index among the items.
    pub index: usize,
    /// The prose.
    pub prose: &'a Placed<ProseBlock>,
}

/// What can stand beside the block of an index: the one paragraph that follows it, unless it leads to
/// the music after it or refers to blocks, whose pages are not known yet.
pub fn of(score: &Score, index: usize) -> Option<Beside<'_>> {
    let index = index + 1;
    let item = score.items.get(index)?;
    let Item::Prose(prose) = item else { return None };
    let one = match &**prose {
        ProseBlock::Paragraph(_) => !matches!(score.items.get(index + 1), Some(Item::Prose(_))),
        ProseBlock::List(_)
        | ProseBlock::Quote(_)
        | ProseBlock::Break
        | ProseBlock::Code(_)
        | ProseBlock::Table(_)
        | ProseBlock::Figure(_)
        | ProseBlock::Notes(_) => false,
    };
    let speaks_of_it = bond::between(&score.items, index) == Bond::Close;
    (one && speaks_of_it && !item.refers()).then_some(Beside { index, prose })
}

impl Setter<'_> {
    /// A block alone in a row of columns, with prose in the column beside it; nothing where it is too
    /// long for that.
    pub fn row_with_prose(
        &self,
        cell: &GridBlock<'_>,
        columns: usize,
        beside: Beside<'_>,
    ) -> Option<Piece> {
        let mut row = self.grid_row(std::slice::from_ref(cell), columns);
        let (width, step) = self.sheet.column(columns);
        // Its first line stands on the baseline of the title.
        let title = self.block_title(cell.block, &cell.engraved, TitleParts::All, width);
        let lower = self.ascent(self.sheet.block_title) - self.ascent(self.sheet.prose);
        let mut y = title.map_or(0.0, |title| title.over + lower.max(0.0));
        let mut nodes = Vec::new();
        let lines = prose_blocks::set_in(self, beside.index, beside.prose, width);
        for (nth, line) in lines.iter().enumerate() {
            y += if nth == 0 { 0.0 } else { line.before };
            let (moved, before) = (Vec2::new(step, y), nodes.len());
            nodes.extend(line.nodes.iter().map(|node| node.clone().transform(1.0, step, y)));
            row.addresses.extend(line.addresses.iter().cloned().map(|mut there| {
                there.area = there.area + moved;
                there.node += before;
                there
            }));
            y += line.height;
        }
        row.nodes = nodes.into();
        let fits = y <= row.height * TALLER;
        row.height = row.height.max(y);
        fits.then_some(row)
    }
}
