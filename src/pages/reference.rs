//! What prose prints of the blocks and headings it refers to.
//!
//! A page number decides how wide its line is, and lines decide which page a block is on. So room is
//! reserved by the number of figures alone: lines are broken and set as if every figure were a zero, and
//! pages are broken again as long as a number has more figures than were reserved for it. Room is
//! never given back, so this ends; a number with fewer figures leaves its line a little shorter. The numbers
//! themselves are printed when a page is put together (see [`super::page_number`]).

use super::item_ids::{ChangedItems, ItemId, ItemIds};
use crate::score::{
    Item, Mentions, NamedPlaces, PrintedWords, Reference, ReferencePlace, Score, Told,
};
use std::cell::LazyCell;
use std::collections::hash_map::Entry;
use std::collections::{HashMap, HashSet};
use std::ops::Range;
use std::sync::Arc;

/// How often pages are broken again before every number gets the room of the widest.
pub const PASSES: usize = 4;

/// Figures reserved for a page number at first.
const FIGURES: usize = 1;

/// What words lead to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct ReferenceTarget {
    /// A block or a heading.
    pub item: ItemId,
    /// The exercise in it, by the number over the staff, where it holds a series.
    pub exercise: Option<u32>,
}

impl ReferenceTarget {
    /// The start of an item.
    pub fn start_of(item: ItemId) -> Self {
        Self { item, exercise: None }
    }
}

/// What prose refers to, and the room that its page numbers have.
#[derive(Clone, Debug, Default)]
pub struct Answers {
    places: Arc<Places>,
    /// Figures reserved for the number of the page of each place.
    figures: Vec<usize>,
}

/// The places that prose refers to.
#[derive(Debug, Default)]
struct Places {
    /// Their numbers, by what they are referred to by.
    numbers: HashMap<String, usize>,
    /// What is known of each.
    known: Vec<Place>,
    /// What stands before the number of a page.
    on_page: &'static str,
}

/// What is known of one place.
#[derive(Debug, PartialEq)]
struct Place {
    /// Where it stands; nothing where it is left out of what is printed.
    to: Option<ReferenceTarget>,
    /// Its number or its title.
    label: String,
}

/// What stands for a reference in its line.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ReferenceText {
    /// The words, with zeros for the page.
    pub words: String,
    /// The bytes of the words that are zeros.
    pub page: Option<Range<usize>>,
    /// Where it leads.
    pub to: Option<ReferenceTarget>,
}

/// What was known of the blocks of a score before pages were broken. By default it keeps nothing.
#[derive(Debug, Default)]
pub struct AnswersMemo {
    keeps: bool,
    known: Option<FirstAnswers>,
}

/// What is known of the blocks of a score before pages are broken.
#[derive(Debug)]
pub struct FirstAnswers {
    /// What is known.
    pub answers: Arc<Answers>,
    /// What it is known of, where it is to be kept.
    mentions: Option<Mentions>,
}

impl AnswersMemo {
    /// One that keeps what is known.
    pub fn keeping() -> Self {
        Self { keeps: true, known: None }
    }

    /// What is known of a score. What is as it was before is the very same.
    pub fn of(
        &self,
        score: &Score,
        (ids, changed): (&ItemIds, Option<&ChangedItems>),
    ) -> FirstAnswers {
        // What is left out may be referred to as well.
        let keeps = self.keeps && score.left_out.is_empty();
        let again = self.known.as_ref().filter(|_| keeps).and_then(|known| {
            let ids_before = &changed?.known.ids;
            let stays = |old, new| ids_before.id(old) == ids.id(new);
            let mentions = known.mentions.as_ref()?.again(&score.items, stays)?;
            Some(FirstAnswers { answers: known.answers.clone(), mentions: Some(mentions) })
        });
        again.unwrap_or_else(|| FirstAnswers {
            answers: Arc::new(Answers::of(score, ids)),
            mentions: keeps.then(|| Mentions::of(&score.items)),
        })
    }

    /// Keeps what is known.
    pub fn keep(&mut self, answers: FirstAnswers) {
        self.known = Some(answers).filter(|answers| answers.mentions.is_some());
    }
}

impl Answers {
    /// What the prose of a score refers to.
    pub fn of(score: &Score, ids: &ItemIds) -> Self {
        let named = LazyCell::new(|| NamedPlaces::of(&score.items, &score.left_out));
        let on_page = PrintedWords::of(score.header.language.as_deref()).on_page;
        let mut places = Places { on_page, ..Places::default() };
        for reference in score.items.iter().flat_map(Item::references) {
            let Ok(place) = named.of_reference(reference) else { continue };
            let ReferencePlace { item, exercise, label: Some(label) } = place else { continue };
            let to = item.map(|item| ReferenceTarget { item: ids.id(item), exercise });
            if let Entry::Vacant(new) = places.numbers.entry(reference.key()) {
                new.insert(places.known.len());
                places.known.push(Place { to, label });
            }
        }
        let figures = vec![FIGURES; places.known.len()];
        Self { places: Arc::new(places), figures }
    }

    /// The places that words lead to.
    pub fn targets(&self) -> impl Iterator<Item = ReferenceTarget> {
        self.places.known.iter().filter_map(|place| place.to)
    }

    /// The same with room for page numbers of so many figures; nothing where there is room for all. With `all` every
    /// number gets the room of the widest.
    pub fn with_room(
        &self,
        figures: impl Fn(ReferenceTarget) -> Option<usize>,
        all: bool,
    ) -> Option<Self> {
        let wanted = |place: &Place| place.to.and_then(&figures).unwrap_or(0);
        let places = self.places.known.iter().zip(&self.figures);
        let mut figures: Vec<usize> = places.map(|(place, own)| wanted(place).max(*own)).collect();
        if figures == self.figures {
            return None;
        }
        if let (true, Some(widest)) = (all, figures.iter().max()) {
            figures = vec![widest + 1; figures.len()];
        }
        Some(Self { places: self.places.clone(), figures })
    }

    /// Whether they are the very same places with the same room.
    pub fn is(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.places, &other.places) && self.figures == other.figures
    }

    /// The keys of the references for which something else is set than was.
    pub fn changed_from<'a>(&'a self, old: &'a Self) -> HashSet<&'a str> {
        if self.is(old) {
            return HashSet::new();
        }
        let same_places = Arc::ptr_eq(&self.places, &old.places);
        let unlike = |own: &'a Self, other: &'a Self| {
            own.places.numbers.iter().filter(move |(key, nth)| {
                let nth = **nth;
                let there = if same_places { Some(nth) } else { other.number(key) };
                own.known(nth) != there.and_then(|nth| other.known(nth))
            })
        };
        unlike(self, old).chain(unlike(old, self)).map(|(key, _)| key.as_str()).collect()
    }

    /// The number of a place.
    fn number(&self, key: &str) -> Option<usize> {
        self.places.numbers.get(key).copied()
    }

    /// What is known of a place by its number, and the figures reserved for its page.
    fn known(&self, nth: usize) -> Option<(&Place, usize)> {
        Some((self.places.known.get(nth)?, *self.figures.get(nth)?))
    }

    /// What stands for a reference.
    pub fn say(&self, reference: &Reference) -> ReferenceText {
        let known = self.number(&reference.key()).and_then(|nth| self.known(nth));
        let Some((Place { to, label }, figures)) = known else {
            return ReferenceText { words: reference.name.clone(), ..ReferenceText::default() };
        };
        // What is left out has a number and no page.
        let told = if to.is_some() { reference.told } else { Told::Number };
        let mut words = match told {
            Told::Both => format!("{label} {}\u{a0}", self.places.on_page),
            Told::Number => label.clone(),
            Told::Page => String::new(),
        };
        let page = (told != Told::Number).then(|| {
            let start = words.len();
            words.push_str(&"0".repeat(figures));
            start..words.len()
        });
        ReferenceText { words, page, to: *to }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn room_is_only_ever_added() {
        let ids = ItemIds::default();
        let place = |nth, label: &str| {
            let to = Some(ReferenceTarget::start_of(ids.id(nth)));
            Place { to, label: label.into() }
        };
        let known = vec![place(0, "1"), place(1, "2")];
        let numbers = [("a".into(), 0), ("b".into(), 1)].into();
        let places = Arc::new(Places { numbers, known, on_page: "" });
        let answers = Answers { places, figures: vec![1, 1] };
        let room = |answers: &Answers, wanted: [usize; 2], all| {
            answers.with_room(|to| wanted.get(ids.index(to.item)?).copied(), all)
        };
        assert!(room(&answers, [1, 1], false).is_none());
        let wider = room(&answers, [2, 1], false).expect("more room");
        assert_eq!(wider.figures, [2, 1]);
        assert_eq!(wider.changed_from(&answers), ["a"].into());
        assert!(room(&wider, [1, 1], false).is_none());
        assert!(room(&wider, [2, 1], true).is_none());
        let widest = room(&wider, [2, 3], true).expect("more room");
        assert_eq!(widest.figures, [4, 4]);
        assert_eq!(widest.changed_from(&wider), ["a", "b"].into());
        assert!(room(&widest, [4, 4], true).is_none());
    }
}
