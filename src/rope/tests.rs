//! A rope against a list.

use super::{Change, Rope};
use proptest::prelude::*;
use std::ops::Range;

/// Ranges that are in order and lie apart, and what comes in their place.
fn changes(length: usize) -> impl Strategy<Value = Vec<(Range<usize>, Vec<u32>)>> {
    let one = (0..length + 1, 0..90_usize, prop::collection::vec(1_000..1_003_u32, 0..150));
    prop::collection::vec(one, 0..5).prop_map(move |mut changes| {
        changes.sort_by_key(|(start, ..)| *start);
        let mut at = 0;
        let mut apart = Vec::new();
        for (start, gone, new) in changes {
            let start = start.max(at);
            at = (start + gone).min(length);
            apart.push((start..at, new));
        }
        apart
    })
}

/// Ranges of a list, and what stands in their place.
type Changes = Vec<(Range<usize>, Vec<u32>)>;

fn texts() -> impl Strategy<Value = (Vec<u32>, Changes)> {
    prop::collection::vec(0..4_u32, 0..400)
        .prop_flat_map(|items| (changes(items.len()), Just(items)))
        .prop_map(|(changes, items)| (items, changes))
}

fn all(rope: &Rope<u32>) -> Vec<u32> {
    rope.iter().copied().collect()
}

proptest! {
    #[test]
    fn a_rope_is_changed_as_a_list((items, changes) in texts()) {
        let rope = Rope::from(items.clone());
        let mut list = items;
        let new = rope.replaced(changes.clone());
        for (range, own) in changes.into_iter().rev() {
            drop(list.splice(range, own));
        }
        prop_assert_eq!(all(&new), list.clone());
        prop_assert_eq!(new.len(), list.len());
        prop_assert_eq!(new.is_empty(), list.is_empty());
        for at in 0..list.len() + 2 {
            prop_assert_eq!(new.get(at), list.get(at));
            let rest: Vec<u32> = new.iter_from(at).copied().collect();
            prop_assert_eq!(&rest[..], list.get(at..).unwrap_or(&[]));
        }
        prop_assert_eq!((new.first(), new.last()), (list.first(), list.last()));
        prop_assert_eq!(new.clone().into_iter().collect::<Vec<_>>(), list.clone());
        // Both at once, one after the other.
        let mut both = new.clone();
        both.append(&rope);
        both.push(7);
        list.extend(all(&rope));
        list.push(7);
        prop_assert_eq!(all(&both), list);
    }

    #[test]
    fn a_narrowed_change_is_what_is_found_by_the_same((items, changes) in texts()) {
        // Twice a number and one more are alike.
        let (alike, same) = (|a: &u32, b: &u32| a / 2 == b / 2, |a: &u32, b: &u32| a == b);
        let old = Rope::from(items);
        let new = old.replaced(changes);
        let change = new.changed_from(&old, same);
        let narrowed = new.narrowed(&old, &change, alike);
        prop_assert!(change.old.start <= narrowed.old.start && narrowed.old.end <= change.old.end);
        let (before, after) = (all(&old), all(&new));
        let halves = |items: &[u32]| items.iter().map(|item| item / 2).collect::<Vec<_>>();
        let (gone, come) = (narrowed.old, narrowed.new);
        prop_assert_eq!(halves(&before[..gone.start]), halves(&after[..come.start]));
        prop_assert_eq!(halves(&before[gone.end..]), halves(&after[come.end..]));
        let (gone, come) = (&before[gone], &after[come]);
        prop_assert!(gone.is_empty() || come.is_empty() || gone[0] / 2 != come[0] / 2);
        let ends = gone.last().zip(come.last());
        prop_assert!(ends.is_none_or(|(gone, come)| gone / 2 != come / 2));
    }

    #[test]
    fn outside_of_a_change_all_is_the_same((items, changes) in texts()) {
        let old = Rope::from(items);
        let new = old.replaced(changes);
        let Change { old: gone, new: come } = new.changed_from(&old, |a, b| a == b);
        let (before, after) = (all(&old), all(&new));
        prop_assert_eq!(&before[..gone.start], &after[..come.start]);
        prop_assert_eq!(&before[gone.end..], &after[come.end..]);
        // Neither end of it could be nearer to the other.
        let (gone, come) = (&before[gone], &after[come]);
        prop_assert!(gone.is_empty() || come.is_empty() || gone[0] != come[0]);
        prop_assert!(gone.is_empty() || come.is_empty() || gone.last() != come.last());
        let none = new.changed_from(&new.clone(), |_, _| panic!("what is shared is looked at"));
        prop_assert!(none.is_none());
    }

    #[test]
    fn parts_of_a_change_lie_apart_and_are_all_of_it(
        (items, changes) in texts(),
        replaced in prop::collection::btree_map(0..400_usize, 0..4_u32, 0..9),
    ) {
        let old = Rope::from(items);
        let replaced = replaced.into_iter().filter(|(at, _)| *at < old.len());
        let alike = old.replaced(replaced.map(|(at, item)| (at..at + 1, vec![item])));
        for new in [alike, old.replaced(changes)] {
            let parts = new.changes_from(&old, |a, b| a == b);
            let as_long = old.len() == new.len();
            prop_assert!(as_long || parts.len() == 1);
            prop_assert!(parts.windows(2).all(|two| two[0].new.end < two[1].new.start));
            prop_assert!(!as_long || parts.iter().all(|part| part.old == part.new));
            let (before, after) = (all(&old), all(&new));
            let mut made = before.clone();
            for part in parts.iter().rev() {
                let (gone, come) = (part.old.clone(), &after[part.new.clone()]);
                prop_assert!(!as_long || before[gone.clone()].iter().zip(come).all(|(a, b)| a != b));
                drop(made.splice(gone, come.iter().copied()));
            }
            prop_assert_eq!(made, after);
        }
    }
}

#[test]
fn a_small_change_shares_the_rest() {
    let old: Rope<u32> = (0..10_000).collect();
    let looked_at = std::cell::Cell::new(0);
    let same = |a: &u32, b: &u32| {
        looked_at.set(looked_at.get() + 1);
        a == b
    };
    let new = old.replaced([(5_000..5_001, vec![1, 2, 3])]);
    assert_eq!(new.changed_from(&old, same), Change { old: 5_000..5_001, new: 5_000..5_003 });
    assert!(looked_at.get() < 200, "{}", looked_at.get());
}
