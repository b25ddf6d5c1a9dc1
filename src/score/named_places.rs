//! The places prose may refer to, by their names.

use super::{Bar, Inline, Item, MarkKind, PlacedBlock, Reference, name_key};
use crate::rope::Rope;
use std::borrow::Cow;
use std::collections::HashMap;

/// Blocks and headings by their names.
#[derive(Debug, Default)]
pub struct NamedPlaces<'a>(HashMap<Cow<'a, str>, NamedPlace<'a>>);

/// What a name stands for.
#[derive(Clone, Debug)]
struct NamedPlace<'a> {
    /// Its index among the items; nothing where it is left out of what is printed.
    item: Option<usize>,
    is: Is<'a>,
}

#[derive(Clone, Debug)]
enum Is<'a> {
    Heading {
        text: &'a [Inline],
        number: Option<u32>,
    },
    /// A block, and the exercises after it where it is the first of a series.
    Blocks(Vec<&'a PlacedBlock>),
}

/// What a reference leads to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReferencePlace {
    /// Its index among the items; nothing where it is left out of what is printed.
    pub item: Option<usize>,
    /// The exercise in it, by the number over the staff, where one block holds a series.
    pub exercise: Option<u32>,
    /// What is printed of it; nothing where it has neither a number nor a title.
    pub label: Option<String>,
}

/// Why a reference leads nowhere.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unreferable {
    /// Nothing has the name.
    Unknown,
    /// A heading or a block that has no exercises in it.
    Single,
    /// A series that has no exercise of this number, but from 1 to this many.
    UpTo(u32),
}

impl<'a> NamedPlaces<'a> {
    /// The named blocks and headings among items, and among those that are left out.
    #[must_use]
    pub fn of(items: &'a Rope<Item>, left_out: &'a [Item]) -> Self {
        let mut named = Self::default();
        named.add(items.iter(), true);
        named.add(left_out.iter(), false);
        named
    }

    fn add(&mut self, mut items: impl Iterator<Item = &'a Item> + Clone, printed: bool) {
        for index in 0.. {
            let Some(item) = items.next() else { break };
            let Some(name) = item.name() else { continue };
            let is = match item {
                Item::Heading { text, number, .. } => Is::Heading { text, number: *number },
                Item::Block(block) => Is::Blocks(of_one_text(block, items.clone())),
                Item::Prose(_) => continue,
            };
            let place = NamedPlace { item: printed.then_some(index), is };
            self.0.entry(name_key(name)).or_insert(place);
        }
    }

    /// The names, in order.
    #[must_use]
    pub fn names(&self) -> Vec<&str> {
        let mut names: Vec<&str> = self.0.keys().map(AsRef::as_ref).collect();
        names.sort_unstable();
        names
    }

    /// How many exercises a name stands for; nothing where it is none of a series.
    #[must_use]
    pub fn exercises(&self, name: &str) -> Option<u32> {
        match self.find(name, Some(0)) {
            Err(Unreferable::UpTo(count)) => Some(count),
            Err(Unreferable::Unknown | Unreferable::Single) | Ok(_) => None,
        }
    }

    /// What a reference leads to.
    ///
    /// # Errors
    /// Says why it leads nowhere.
    pub fn of_reference(&self, reference: &Reference) -> Result<ReferencePlace, Unreferable> {
        self.find(&reference.name, reference.exercise)
    }

    fn find(&self, name: &str, exercise: Option<u32>) -> Result<ReferencePlace, Unreferable> {
        let NamedPlace { item, is } = self.0.get(&*name_key(name)).ok_or(Unreferable::Unknown)?;
        let (item, place) = (*item, |label| ReferencePlace { item: *item, exercise: None, label });
        match (is, exercise) {
            (Is::Heading { .. }, Some(_)) => Err(Unreferable::Single),
            (Is::Heading { text, number }, None) => {
                let title = || format!("\u{201c}{}\u{201d}", super::inline::plain_words(text));
                Ok(place(Some(number.map_or_else(title, |number| number.to_string()))))
            }
            (Is::Blocks(blocks), None) => Ok(place(blocks.first().and_then(|block| block.label()))),
            (Is::Blocks(blocks), Some(wanted)) => match blocks.as_slice() {
                [block] => {
                    let numbers = exercises(&block.part.bars);
                    let last = numbers.iter().copied().max().ok_or(Unreferable::Single)?;
                    if !numbers.contains(&wanted) {
                        return Err(Unreferable::UpTo(last));
                    }
                    let label = block.label().map(|label| format!("{label}.{wanted}"));
                    Ok(ReferencePlace { item, exercise: Some(wanted), label })
                }
                blocks => {
                    let count = u32::try_from(blocks.len()).unwrap_or(u32::MAX);
                    let nth = wanted.checked_sub(1).map(|nth| nth as usize);
                    let block = nth.and_then(|nth| blocks.get(nth));
                    let (nth, block) = nth.zip(block).ok_or(Unreferable::UpTo(count))?;
                    let item = item.map(|item| item + nth);
                    Ok(ReferencePlace { item, exercise: None, label: block.label() })
                }
            },
        }
    }
}

/// A block and those right after it that were made of the same lines of the text: exercises of a series.
fn of_one_text<'a>(
    block: &'a PlacedBlock,
    rest: impl Iterator<Item = &'a Item>,
) -> Vec<&'a PlacedBlock> {
    let others = rest.map_while(|item| match item {
        Item::Block(other) if other.at == block.at => Some(other),
        Item::Block(_) | Item::Heading { .. } | Item::Prose(_) => None,
    });
    std::iter::once(block).chain(others).collect()
}

/// The exercises of a series that begin in bars, by their numbers over the staff.
#[must_use]
pub fn exercises(bars: &[Bar]) -> Vec<u32> {
    let marks = bars.iter().flat_map(|bar| &bar.marks);
    let number = |kind: &MarkKind| if let MarkKind::Number(n) = kind { Some(*n) } else { None };
    marks.filter_map(|mark| number(&mark.kind)).collect()
}
