//! A block in lines of music, for columns where it fits them.

use super::edges;
use super::headed::is_headed;
use super::setter::Setter;
use crate::drawing::InsetMarks;
use crate::engrave;
use crate::engrave::{BlockPlace, Edges, Engraved, System};
use crate::memo::Memo;
use crate::score::{Block, Item, PlacedBlock};
use std::sync::Arc;

/// How much of a page a block in a column may be high, so that a row of them always has room on one; and
/// what is reckoned between its lines, in staff spaces (common practice, no source).
const MOST_HEIGHT: f64 = 0.45;
const BETWEEN: f64 = 3.0;

/// A block in lines of music.
#[derive(Clone, Debug)]
pub struct EngravedBlock {
    /// The lines.
    pub systems: Arc<[Arc<System>]>,
    /// In how many columns it would fit, at most those it asks for; 1 where it has the width of the
    /// text to itself.
    pub fits: usize,
    /// The columns it is engraved for.
    pub columns: usize,
    /// What is shown of it at its ends.
    pub shown: ShownEdges,
}

/// What is shown of a block at its ends, and beside its title.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ShownEdges {
    /// At its staff.
    pub edges: Edges,
    /// Its tempo and feel stand beside its title.
    pub beside_title: bool,
}

impl ShownEdges {
    /// Those of a block that has the width of the text to itself.
    pub fn alone(block: &PlacedBlock) -> Self {
        Self { edges: edges::alone(block), beside_title: is_headed(block) }
    }
}

/// A block among the items it stands between.
#[derive(Clone, Copy, Debug)]
pub struct BlockAmong<'a> {
    /// The items.
    pub items: &'a [&'a Item],
    /// Its index.
    pub index: usize,
    /// The block.
    pub block: &'a PlacedBlock,
    /// It is the first of its row, where it stands in columns.
    pub first_in_row: bool,
}

impl BlockAmong<'_> {
    /// What is shown of it in so many columns.
    pub fn shown(&self, columns: usize) -> ShownEdges {
        let Self { items, index, block, first_in_row } = *self;
        match columns {
            1 => ShownEdges::alone(block),
            _ => ShownEdges {
                edges: edges::in_grid(items, index, block, first_in_row),
                beside_title: is_headed(block) && edges::shows_heading(items, index, block),
            },
        }
    }
}

impl EngravedBlock {
    /// A block in as many columns as it asks for, or in fewer where it does not fit.
    pub fn of(setter: &Setter<'_>, among: BlockAmong<'_>) -> Self {
        let asked = among.block.settings.columns as usize;
        for columns in (2..=asked).rev() {
            let set = Self::in_columns(setter, among, columns);
            if let (set, true) = set {
                return Self { fits: columns, ..set };
            }
        }
        Self::in_columns(setter, among, 1).0
    }

    /// A block in so many columns, and whether it fits them.
    fn in_columns(setter: &Setter<'_>, among: BlockAmong<'_>, columns: usize) -> (Self, bool) {
        Self::with_edges(setter, among.block, columns, among.shown(columns))
    }

    fn with_edges(
        setter: &Setter<'_>,
        block: &PlacedBlock,
        columns: usize,
        shown: ShownEdges,
    ) -> (Self, bool) {
        let width = match columns {
            1 => setter.sheet.text_width(),
            _ => setter.sheet.column(columns).0,
        };
        let headed = if shown.beside_title { setter.head_width(block) } else { 0.0 };
        let [width, headed] = [width, headed].map(|points| points / setter.sheet.space);
        let place = BlockPlace { width, headed, column: columns > 1, edges: shown.edges };
        let Engraved { systems, fits } = engrave::engrave(&setter.context, block, place);
        let height: f64 = systems.iter().map(|s| s.ink.height() + BETWEEN).sum();
        let short = height * setter.sheet.space <= setter.sheet.room() * MOST_HEIGHT;
        (Self { systems: systems.into(), fits: columns, columns, shown }, fits && short)
    }

    /// A block in so many columns as those around it have, at most as many as it `fits`.
    pub fn again(setter: &Setter<'_>, among: BlockAmong<'_>, columns: usize, fits: usize) -> Self {
        Self { fits, ..Self::in_columns(setter, among, columns).0 }
    }

    /// A block as it is engraved where it asks for columns, with all that it begins with.
    pub fn for_picture(setter: &Setter<'_>, block: &PlacedBlock) -> Self {
        let among = BlockAmong { items: &[], index: 0, block, first_in_row: true };
        let set = Self::of(setter, among);
        let end = Edges::alone(block.part.bars.len()).end;
        let shown = ShownEdges { edges: Edges { end, ..set.shown.edges }, ..set.shown };
        Self::with_edges(setter, block, set.columns, shown).0
    }

    /// The same with its lines written, where somebody writes them: of these the marks are given up.
    pub fn written(self, setter: &Setter<'_>) -> Self {
        let Some(writer) = setter.writer else { return self };
        let write = |system: &Arc<System>| match &system.marks {
            InsetMarks::Written(_) => system.clone(),
            InsetMarks::Nodes(marks) => {
                let ink = writer.write(marks, setter.line_scale(system));
                Arc::new(System { marks: InsetMarks::Written(ink), ..System::clone(system) })
            }
        };
        Self { systems: self.systems.iter().map(write).collect(), ..self }
    }

    /// Whether it is the same, and not only an equal one.
    pub fn is_same(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.systems, &other.systems) && self.shown == other.shown
    }

    /// Whether it is set in so many columns and shows so much.
    pub fn is(&self, columns: usize, shown: ShownEdges) -> bool {
        (self.columns, self.shown) == (columns, shown)
    }

    /// Whether no bar had to be made smaller, and no line got fewer bars than it should have.
    pub fn is_as_asked(&self) -> bool {
        self.systems.iter().all(|system| system.scale >= 1.0 && !system.cut)
    }
}

/// What a block was engraved as for the places it stood at last.
#[derive(Clone, Debug, Default)]
pub struct EngravedVersions(Vec<EngravedBlock>);

/// What blocks were engraved as.
pub type EngravedMemo = Memo<Block, EngravedVersions>;

/// How many are kept: first in its row or not, and where another block comes before it.
const VERSIONS: usize = 4;

impl EngravedVersions {
    /// One of them, for what all of them have.
    pub fn any(&self) -> Option<&EngravedBlock> {
        self.0.first()
    }

    /// That of so many columns which shows so much.
    pub fn of(&self, columns: usize, shown: ShownEdges) -> Option<&EngravedBlock> {
        self.0.iter().find(|set| set.is(columns, shown))
    }

    /// Keeps another.
    pub fn put(&mut self, set: EngravedBlock) {
        if self.0.len() == VERSIONS {
            self.0.remove(0);
        }
        self.0.push(set);
    }
}
