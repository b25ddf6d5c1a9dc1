//! What prose prints of the blocks it refers to.
//!
//! A page number decides how wide its line is, and lines decide which page a block is on. So room is
//! reserved by the number of figures alone: lines are broken as if every figure were a zero, and
//! pages are broken again as long as a number has more figures than were reserved for it. Room is
//! never given back, so this ends; a number with fewer figures leaves its line a little shorter.

use crate::score::{Item, Mentions, PrintedWords, Score, name_key};
use crate::score::{Reference, Told};
use std::collections::{HashMap, HashSet};
use std::ops::Range;
use std::sync::Arc;

/// How often pages are broken again before every number gets the room of the widest.
pub const PASSES: usize = 4;

/// Figures reserved for a page number at first.
const FIGURES: usize = 1;

/// Blocks that prose refers to.
#[derive(Clone, Debug, Default)]
pub struct Answers {
    blocks: HashMap<String, Answer>,
    /// What stands before the number of a page.
    on_page: &'static str,
}

/// What is known of one block.
#[derive(Clone, Debug, PartialEq)]
struct Answer {
    /// Its index among the items; nothing where it is left out of what is printed.
    item: Option<usize>,
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
    /// The index of the block among the items.
    pub item: Option<usize>,
}

/// What was known of the blocks of a score before pages were broken. By default it keeps nothing.
#[derive(Debug, Default)]
pub struct AnswersMemo {
    keeps: bool,
    known: Option<(Mentions, Arc<Answers>, Arc<[usize]>)>,
}

impl AnswersMemo {
    /// One that keeps what is known.
    pub fn keeping() -> Self {
        Self { keeps: true, ..Self::default() }
    }

    /// The same as [`Answers::of`].
    pub fn of(&mut self, score: &Score) -> (Arc<Answers>, Arc<[usize]>) {
        let known = self.known.take();
        let known = known.filter(|(mentions, ..)| mentions.are_those_of(&score.items));
        if let Some((_, answers, referring)) = known {
            let mentions = Mentions::of(&score.items);
            self.known = Some((mentions, answers.clone(), referring.clone()));
            return (answers, referring);
        }
        let (answers, referring) = Answers::of(score);
        let (answers, referring): (_, Arc<[usize]>) = (Arc::new(answers), referring.into());
        if self.keeps {
            let mentions = Mentions::of(&score.items);
            self.known = Some((mentions, answers.clone(), referring.clone()));
        }
        (answers, referring)
    }
}

impl Answers {
    /// The named blocks of a score, and the indices of the items whose words refer to any.
    pub fn of(score: &Score) -> (Self, Vec<usize>) {
        let mut wanted: HashMap<String, Option<Answer>> = HashMap::new();
        let mut referring = Vec::new();
        for (index, item) in score.items.iter().enumerate() {
            let references = item.references();
            if !references.is_empty() {
                referring.push(index);
            }
            wanted.extend(references.iter().map(|r| (name_key(&r.name).into_owned(), None)));
        }
        let printed = score.items.iter().enumerate().filter_map(|(index, item)| match item {
            Item::Block(block) => Some((Some(index), block)),
            Item::Heading { .. } | Item::Prose(_) => None,
        });
        let left_out = score.left_out.iter().map(|block| (None, block));
        for (item, block) in printed.chain(left_out).filter(|_| !referring.is_empty()) {
            if let Some(name) = &block.name
                && let Some(answer) = wanted.get_mut(&*name_key(name))
                && answer.is_none()
                && let Some(label) = block.label()
            {
                *answer = Some(Answer { item, label, figures: FIGURES, page: None });
            }
        }
        let known = wanted.into_iter().filter_map(|(name, answer)| Some((name, answer?)));
        let on_page = PrintedWords::of(score.header.language.as_deref()).on_page;
        (Self { blocks: known.collect(), on_page }, referring)
    }

    /// Takes the numbers of the pages that blocks came to stand on, by the block's index among the
    /// items; whether the room reserved for them was enough. `all` gives every number the room of
    /// the widest.
    pub fn take(&mut self, pages: &dyn Fn(usize) -> Option<String>, all: bool) -> bool {
        let mut enough = true;
        let mut widest = 0;
        for answer in self.blocks.values_mut() {
            answer.page = answer.item.and_then(pages);
            let figures = answer.page.as_ref().map_or(0, |page| page.chars().count());
            enough &= figures <= answer.figures;
            answer.figures = answer.figures.max(figures);
            widest = widest.max(answer.figures);
        }
        if all && !enough {
            self.blocks.values_mut().for_each(|answer| answer.figures = widest + 1);
        }
        enough
    }

    /// The names of blocks of which otherwise is printed than it was.
    pub fn changed_from<'a>(&'a self, old: &'a Self) -> HashSet<&'a str> {
        let unlike = |own: &'a Self, other: &'a Self| {
            own.blocks.iter().filter(|(name, answer)| other.blocks.get(*name) != Some(answer))
        };
        unlike(self, old).chain(unlike(old, self)).map(|(name, _)| name.as_str()).collect()
    }

    /// What stands for a reference.
    pub fn say(&self, reference: &Reference) -> ReferenceText {
        let Some(answer) = self.blocks.get(&*name_key(&reference.name)) else {
            return ReferenceText { words: reference.name.clone(), ..ReferenceText::default() };
        };
        // What is left out has a number and no page.
        let told = if answer.item.is_some() { reference.told } else { Told::Number };
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
        ReferenceText { words, page, item: answer.item }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn room_is_only_ever_added() {
        let answer = |item| Answer { item: Some(item), label: "1".into(), figures: 1, page: None };
        let mut answers = Answers {
            blocks: [("a".into(), answer(0)), ("b".into(), answer(1))].into(),
            ..Answers::default()
        };
        let mut take =
            |a: &str, b: &str, all| answers.take(&|item| Some([a, b].get(item)?.to_string()), all);
        assert!(take("7", "9", false));
        assert!(!take("10", "9", false));
        assert!(take("9", "9", false));
        assert!(take("10", "9", false));
        assert!(!take("10", "100", true));
        assert!(take("1000", "1000", true));
    }
}
