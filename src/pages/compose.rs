//! A score made into pages, phase by phase.

use super::body;
use super::body::Wanted;
use super::galley;
use super::index_columns;
use super::layout::Layout;
use super::reference::Answers;
use super::setter::Setter;
use super::settle::settle;
use super::sheet::Sheet;
use crate::drawing::{Drawing, Page};
use crate::engrave::{Engraver, Style};
use crate::font::Fonts;
use crate::score::Score;
use crate::source::{Diagnostics, Source};

/// A file, composed.
#[derive(Clone, Debug, Default)]
pub struct Composed {
    /// Its pages.
    pub drawing: Drawing,
    /// A cropped picture of each block, under the block's name or number.
    pub blocks: Vec<(String, Page)>,
}

impl Composed {
    /// The same with all marks in the space of their page, for who looks at them.
    #[must_use]
    pub fn flat(mut self) -> Self {
        let pictures = self.blocks.iter_mut().map(|(_, page)| page);
        self.drawing.pages.iter_mut().chain(pictures).for_each(|page| page.nodes = page.flat());
        self
    }
}

/// Composes a score into pages, and into pictures where they are wanted.
pub fn compose(
    fonts: &Fonts,
    style: &Style,
    source: &Source,
    score: &Score,
    wanted: Wanted,
    diagnostics: &mut Diagnostics,
) -> Composed {
    let sheet = Sheet::new(&score.header, style);
    let context = Engraver { fonts, style, space_pt: sheet.space };
    let (answers, referring) = Answers::of(score);
    let lines = source.lines();
    let setter = Setter { fonts, sheet: &sheet, context, answers: &answers, lines: &lines };
    let mut body = body::set(setter, score, &referring, wanted, diagnostics);
    let blocks = std::mem::take(&mut body.pictures);
    let galley = galley::collect(&setter, score, body);
    let mut settled = settle(galley, &setter, score, answers.clone());
    let index = index_columns::pages(&setter, score, &settled.pages_of_blocks(), settled.labels);
    settled.add_index(index, &score.header);
    let layout = Layout::new(&sheet, score, settled, &lines);
    Composed { drawing: layout.into_drawing(fonts, score), blocks }
}
