//! The body that was set before: how far a change of the items reaches in it, and the body with what was set
//! again in its place.

use super::column::ColumnPiece;
use super::item_ids::ChangedItems;
use super::reference::Answers;
use super::referring::ReferringWords;
use super::setter::Setter;
use crate::drawing::{Page, Picture};
use crate::rope::{Change, Rope};
use crate::score::printing::BlocksOnPages;
use crate::score::{Item, PlacedBlock, Score};
use crate::source::{Diagnostic, Diagnostics};
use std::sync::Arc;

/// How many items before and after it an item is set by, where no grid goes on: its bond to what stands before
/// it, and prose beside it.
const NEAR: usize = 3;
/// The most items that are set again. A grid that is longer is cut where it is not when all is set.
const MOST_AGAIN: usize = 512;

/// The body of a file, set.
#[derive(Clone, Debug, Default)]
pub struct Body {
    /// Its pieces in order.
    pub pieces: Rope<ColumnPiece>,
    /// Where something is set for itself.
    steps: Vec<Step>,
    /// The words that refer to blocks.
    pub referring: Vec<ReferringWords>,
    /// What is to be told of blocks, by index, with places counted from the block.
    found: Vec<(usize, Diagnostics)>,
    /// A picture of each block under its key, where they are wanted.
    pub pictures: Vec<(String, Page)>,
}

/// Items that are set, one after another.
#[derive(Debug, Default)]
pub struct NewBody {
    /// Their pieces.
    pub pieces: Vec<ColumnPiece>,
    /// Whether pieces stand over these.
    pub over: bool,
    /// As in the body.
    pub steps: Vec<Step>,
    /// As in the body.
    pub referring: Vec<ReferringWords>,
    found: Vec<(usize, Diagnostics)>,
    /// As in the body.
    pub pictures: Vec<(String, Page)>,
}

/// Where something is set for itself: the index of an item, and of its first piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Step {
    /// The item.
    pub item: usize,
    /// The piece.
    pub piece: usize,
}

/// A body, and what it was set of.
#[derive(Debug)]
pub struct BodyMemo {
    answers: Arc<Answers>,
    pictures: Vec<Arc<Picture>>,
    body: Body,
}

/// What is set again of a body.
#[derive(Debug)]
pub struct Again<'m> {
    /// The items as they were.
    items: &'m Rope<Item>,
    change: Change,
    /// The item to begin with.
    pub from: usize,
    /// Whether pieces stand over it.
    pub over: bool,
    /// Where the old body was set for itself, after what is surely set again; by the new indices of items.
    seams: Vec<usize>,
    /// How much more items there are.
    more: isize,
}

impl BodyMemo {
    /// A body, and what it was set of.
    pub fn new(setter: &Setter<'_>, body: &Body) -> Self {
        Self {
            answers: setter.answers.clone(),
            pictures: setter.pictures.values().cloned().collect(),
            body: body.clone(),
        }
    }

    /// What of it is set again for a score whose items changed so; nothing where that is all of it.
    pub fn again<'m>(
        &self,
        setter: &Setter<'_>,
        score: &Score,
        ChangedItems { known, change }: &'m ChangedItems,
    ) -> Option<Again<'m>> {
        let (items, change) = (&known.items, change.clone());
        let pictures = setter.pictures.values();
        let same = Arc::ptr_eq(&self.answers, setter.answers)
            && self.pictures.iter().map(Arc::as_ptr).eq(pictures.map(Arc::as_ptr))
            && self.body.pictures.is_empty()
            && score.answers.is_none()
            && score.header.blocks == BlocksOnPages::Follow;
        if !same || change.new.len() > MOST_AGAIN {
            return None;
        }
        let near = change.old.start.saturating_sub(NEAR);
        let steps = &self.body.steps;
        let before = steps.partition_point(|step| step.item <= near);
        let before = steps.get(..before).unwrap_or(&[]);
        let first = before.iter().rposition(|step| begins_alone(items, step.item))?;
        let first = *before.get(first)?;
        let more = change.new.end as isize - change.old.end as isize;
        let after = steps.partition_point(|step| step.item < change.old.end + NEAR);
        let after = steps.get(after..).unwrap_or(&[]).iter();
        let seams = after.map(|step| step.item.saturating_add_signed(more));
        let seams = seams.take(MOST_AGAIN).collect();
        Some(Again { items, change, from: first.item, over: first.piece > 0, seams, more })
    }
}

impl Again<'_> {
    /// The items that are set again up to one, as they were.
    pub fn gone(&self, to: usize) -> impl Iterator<Item = &Item> {
        self.items.range(self.from..to.saturating_add_signed(-self.more))
    }

    /// Whether what is set from an item on is as it was.
    pub fn ends(&self, score: &Score, index: usize) -> bool {
        index >= self.change.new.end + NEAR
            && self.seams.binary_search(&index).is_ok()
            && begins_alone(&score.items, index)
    }
}

/// Whether what is set from an item on does not depend on what was set before it: it is words, and no heading
/// stands over it.
fn begins_alone(items: &Rope<Item>, index: usize) -> bool {
    let over = index.checked_sub(1).and_then(|over| items.get(over));
    let under_heading = matches!(over, Some(Item::Heading { .. }));
    !under_heading && !matches!(items.get(index), None | Some(Item::Block(_)))
}

impl BodyMemo {
    /// The body with items in place that were set again up to one.
    pub fn with(&self, again: &Again<'_>, (to, new): (usize, NewBody)) -> Body {
        let old_to = to.saturating_add_signed(-again.more);
        let own = &self.body;
        let from_step = own.steps.partition_point(|step| step.item < again.from);
        let to_step = own.steps.partition_point(|step| step.item < old_to);
        let piece = |step: usize| own.steps.get(step).map_or(own.pieces.len(), |step| step.piece);
        let (start, end) = (piece(from_step), piece(to_step));
        let grown = (start + new.pieces.len()) as isize - end as isize;
        let moved = |at: usize, by: isize| at.saturating_add_signed(by);
        let mut body = Body::default();
        body.steps.extend(own.steps.iter().take(from_step));
        body.steps.extend(new.steps.iter().map(|step| Step { piece: step.piece + start, ..*step }));
        body.steps.extend(own.steps.iter().skip(to_step).map(|step| Step {
            item: moved(step.item, again.more),
            piece: moved(step.piece, grown),
        }));
        let outside = |item: usize| (item >= old_to).then_some(again.more);
        let (before, after) =
            own.referring.split_at(own.referring.partition_point(|words| words.item < again.from));
        body.referring.extend_from_slice(before);
        body.referring.extend(new.referring.iter().map(|words| words.moved(0, start as isize)));
        let after = after.iter().filter(|words| words.item >= old_to);
        body.referring.extend(after.map(|words| words.moved(again.more, grown)));
        let kept = own.found.iter().filter_map(|(item, found)| match outside(*item) {
            None => (*item < again.from).then(|| (*item, found.clone())),
            Some(by) => Some((moved(*item, by), found.clone())),
        });
        body.found = kept.chain(new.found).collect();
        body.found.sort_by_key(|(item, _)| *item);
        body.pieces = own.pieces.replaced([(start..end, new.pieces)]);
        body
    }
}

impl NewBody {
    /// Nothing yet; whether pieces stand over it.
    pub fn under(over: bool) -> Self {
        Self { over, ..Self::default() }
    }

    /// Warns of the block of an index.
    pub fn warn(
        &mut self,
        index: usize,
        block: &PlacedBlock,
        what: impl Into<String>,
    ) -> &mut Diagnostic {
        self.found.push((index, Diagnostics::default()));
        let at = self.found.len() - 1;
        self.found[at].1.warning(block.span, what)
    }
}

impl Body {
    /// Tells what was found.
    pub fn report(&self, score: &Score, diagnostics: &mut Diagnostics) {
        for (item, found) in &self.found {
            let at = score.items.get(*item).map_or(0, Item::at);
            diagnostics.absorb(found.clone(), at);
        }
    }
}

impl From<NewBody> for Body {
    fn from(new: NewBody) -> Self {
        let NewBody { pieces, over: _, steps, referring, found, pictures } = new;
        Self { pieces: pieces.into(), steps, referring, found, pictures }
    }
}
