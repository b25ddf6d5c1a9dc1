//! What prose prints of the blocks and headings it refers to.
//!
//! A page number decides how wide its line is, and lines decide which page a block is on. So room is
//! reserved by the number of figures alone: lines are broken as if every figure were a zero, and
//! pages are broken again as long as a number has more figures than were reserved for it. Room is
//! never given back, so this ends; a number with fewer figures leaves its line a little shorter.

use super::item_ids::{ChangedItems, ItemId, ItemIds};
use crate::score::{
    Item, Mentions, NamedPlaces, PrintedWords, Reference, ReferencePlace, Score, Told,
};
use std::cell::LazyCell;
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

/// What prose refers to.
#[derive(Clone, Debug, Default)]
pub struct Answers {
    places: HashMap<String, Answer>,
    /// Whether one of them is an exercise of a series.
    to_exercises: bool,
    /// What stands before the number of a page.
    on_page: &'static str,
}

/// What is known of one place.
#[derive(Clone, Debug, PartialEq)]
struct Answer {
    /// Where it stands; nothing where it is left out of what is printed.
    to: Option<ReferenceTarget>,
    /// Its number or its title.
    label: String,
    /// Figures reserved for the number of its page.
    figures: usize,
    /// The number of its page, once it is known.
    page: Option<String>,
}

/// What stands for a reference in its line.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ReferenceText {
    /// The words, with zeros for the page.
    pub words: String,
    /// The bytes of the words that are zeros, and what is printed there.
    pub page: Option<(Range<usize>, String)>,
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
        let places = LazyCell::new(|| NamedPlaces::of(&score.items, &score.left_out));
        let mut known = HashMap::new();
        for reference in score.items.iter().flat_map(Item::references) {
            let Ok(place) = places.of_reference(reference) else { continue };
            let ReferencePlace { item, exercise, label: Some(label) } = place else { continue };
            let to = item.map(|item| ReferenceTarget { item: ids.id(item), exercise });
            known.entry(reference.key()).or_insert(Answer {
                to,
                label,
                figures: FIGURES,
                page: None,
            });
        }
        let on_page = PrintedWords::of(score.header.language.as_deref()).on_page;
        let to = |answer: &Answer| answer.to.is_some_and(|to| to.exercise.is_some());
        let to_exercises = known.values().any(to);
        Self { places: known, to_exercises, on_page }
    }

    /// Takes the numbers of the pages that places came to stand on; whether the room reserved for them was
    /// enough. `all` gives every number the room of
    /// the widest.
    pub fn take(&mut self, pages: &dyn Fn(ReferenceTarget) -> Option<String>, all: bool) -> bool {
        let mut enough = true;
        let mut widest = 0;
        for answer in self.places.values_mut() {
            answer.page = answer.to.and_then(pages);
            let figures = answer.page.as_ref().map_or(0, |page| page.chars().count());
            enough &= figures <= answer.figures;
            answer.figures = answer.figures.max(figures);
            widest = widest.max(answer.figures);
        }
        if all && !enough {
            self.places.values_mut().for_each(|answer| answer.figures = widest + 1);
        }
        enough
    }

    /// Whether words lead to an exercise of a series.
    pub fn lead_to_exercises(&self) -> bool {
        self.to_exercises
    }

    /// The keys of the references for which something else is printed than was.
    pub fn changed_from<'a>(&'a self, old: &'a Self) -> HashSet<&'a str> {
        let unlike = |own: &'a Self, other: &'a Self| {
            own.places.iter().filter(|(key, answer)| other.places.get(*key) != Some(answer))
        };
        unlike(self, old).chain(unlike(old, self)).map(|(key, _)| key.as_str()).collect()
    }

    /// What stands for a reference.
    pub fn say(&self, reference: &Reference) -> ReferenceText {
        let Some(answer) = self.places.get(&reference.key()) else {
            return ReferenceText { words: reference.name.clone(), ..ReferenceText::default() };
        };
        // What is left out has a number and no page.
        let told = if answer.to.is_some() { reference.told } else { Told::Number };
        let mut words = match told {
            Told::Both => format!("{} {}\u{a0}", answer.label, self.on_page),
            Told::Number => answer.label.clone(),
            Told::Page => String::new(),
        };
        let page = (told != Told::Number).then(|| {
            let start = words.len();
            let zeros = "0".repeat(answer.figures);
            words.push_str(&zeros);
            (start..words.len(), answer.page.clone().unwrap_or(zeros))
        });
        ReferenceText { words, page, to: answer.to }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn room_is_only_ever_added() {
        let ids = ItemIds::default();
        let answer = |item| {
            let to = Some(ReferenceTarget::start_of(ids.id(item)));
            Answer { to, label: "1".into(), figures: 1, page: None }
        };
        let mut answers = Answers {
            places: [("a".into(), answer(0)), ("b".into(), answer(1))].into(),
            ..Answers::default()
        };
        let mut take = |a: &str, b: &str, all| {
            answers.take(&|to| Some([a, b].get(ids.index(to.item)?)?.to_string()), all)
        };
        assert!(take("7", "9", false));
        assert!(!take("10", "9", false));
        assert!(take("9", "9", false));
        assert!(take("10", "9", false));
        assert!(!take("10", "100", true));
        assert!(take("1000", "1000", true));
    }
}
