//! A score made into pages, phase by phase.

use super::body;
use super::body::Wanted;
use super::galley;
use super::index_columns;
use super::index_lists;
use super::layout::Layout;
use super::pages_memo::PagesMemo;
use super::pictures;
use super::setter;
use super::setter::Setter;
use super::settle::settle;
use super::sheet::Sheet;
use super::spent::{Spending, SpentMusic};
use super::title::number_width;
use crate::drawing::{Colours, Drawing, LineWriter, Node, Page, WrittenInk};
use crate::engrave::{Engraver, Style};
use crate::font::Fonts;
use crate::parallel::{Each, Stop, both};
use crate::score::printing::BlocksOnPages;
use crate::score::{PrintedWords, Score};
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
    let set_with = (fonts, style, source);
    let Some((layout, blocks)) = set_once(set_with, score, None, (wanted, diagnostics)) else {
        return Composed::default();
    };
    Composed { drawing: layout.into_drawing(fonts, score), blocks }
}

/// Lays out the pages of a score of which lines of music are only what somebody wrote for them. The score comes back
/// without its music.
pub fn compose_written(
    fonts: &Fonts,
    style: &Style,
    source: &Source,
    mut score: Score,
    writer: &dyn LineWriter,
    diagnostics: &mut Diagnostics,
) -> Option<(Layout, Score)> {
    let spending = Spending { writer, music: SpentMusic::take_from(&mut score) };
    let asked = (Wanted::Pages, diagnostics);
    let (layout, _) = set_once((fonts, style, source), &score, Some(spending), asked)?;
    Some((layout, score))
}

/// Sets a score for what is found on the way, and keeps nothing of it.
pub fn check(
    fonts: &Fonts,
    style: &Style,
    source: &Source,
    mut score: Score,
    diagnostics: &mut Diagnostics,
) {
    let spending = Spending { writer: &NoLines, music: SpentMusic::take_from(&mut score) };
    let memo = (&mut PagesMemo::default(), Some(spending));
    set((fonts, style, source), &score, memo, &|| false, (Wanted::Pages, diagnostics));
}

/// Writes lines for no file.
struct NoLines;

impl LineWriter for NoLines {
    fn write(&self, _: &[Node], _: f64) -> WrittenInk {
        WrittenInk::new(())
    }
}

/// Lays out the pages of a score, of which parts may have been set before; nothing where the work was
/// stopped.
pub fn lay_out(
    fonts: &Fonts,
    style: &Style,
    source: &Source,
    score: &Score,
    (memo, stop): (&mut PagesMemo, Stop<'_>),
    diagnostics: &mut Diagnostics,
) -> Option<Layout> {
    let memo = (memo, None);
    let (layout, _) = set((fonts, style, source), score, memo, stop, (Wanted::Pages, diagnostics))?;
    Some(layout)
}

/// Sets a score, and keeps nothing for another time.
fn set_once(
    set_with: (&Fonts, &Style, &Source),
    score: &Score,
    spending: Option<Spending<'_>>,
    asked: (Wanted, &mut Diagnostics),
) -> Option<(Layout, Vec<(String, Page)>)> {
    set(set_with, score, (&mut PagesMemo::default(), spending), &|| false, asked)
}

fn set(
    (fonts, style, source): (&Fonts, &Style, &Source),
    score: &Score,
    (memo, spending): (&mut PagesMemo, Option<Spending<'_>>),
    stop: Stop<'_>,
    (wanted, diagnostics): (Wanted, &mut Diagnostics),
) -> Option<(Layout, Vec<(String, Page)>)> {
    let sheet = Sheet::new(&score.header, style);
    let number_width = number_width(fonts, score);
    memo.set_with(&score.header, style, (&sheet, number_width));
    let printed = PrintedWords::of(score.header.language.as_deref());
    let context = Engraver { fonts, style, space_pt: sheet.space, printed };
    let (ids, changed) = memo.items.of(&score.items);
    let (ids, changed) = (&ids, changed.as_ref());
    let first_answers = memo.answers.of(score, (ids, changed));
    let hyphens = setter::hyphens(score.header.language.as_deref());
    let lines = &source.lines();
    // It is told of pictures once more each time, so that nothing stays untold.
    let known = &mut memo.pictures;
    let pictures = &pictures::of(source, score, known, diagnostics);
    let (sheet, answers) = (&sheet, &first_answers.answers.clone());
    // What stands in the middle of its page is measured by its marks.
    let writer = spending.as_ref().map(|spending| spending.writer);
    let writer =
        writer.filter(|_| score.header.blocks != (BlocksOnPages::OneAPage { centred: true }));
    let setter = Setter {
        fonts,
        sheet,
        context,
        ids,
        answers,
        pictures,
        hyphens,
        number_width,
        lines,
        writer,
    };
    let music = spending.map(|spending| spending.music).unwrap_or_default();
    let asked = (wanted, diagnostics);
    let (mut body, said) = body::set(setter, score, (changed, music), memo, stop, asked)?;
    let mut pictures = std::mem::take(&mut body.pictures);
    let colours = Colours::of(&score.header);
    pictures.iter_mut().for_each(|(_, picture)| picture.colours = colours);
    let listed = index_lists::headings(score, ids);
    let galley = galley::collect(&setter, score, (body, listed), memo);
    let mut known_index = std::mem::take(&mut memo.index);
    let (mut settled, lists) = both(
        Each::Small,
        score.items.len(),
        || settle(galley, &setter, score, answers.clone(), memo),
        || known_index.lists(score, (ids, changed)),
    );
    let index = index_columns::known_pages(&setter, lists, &settled, &mut known_index);
    memo.index = known_index;
    settled.add_index(index, &score.header);
    memo.answers.keep(first_answers);
    memo.items.keep(&score.items, ids.clone());
    Some((Layout::new(&setter, score, (settled, said)), pictures))
}
