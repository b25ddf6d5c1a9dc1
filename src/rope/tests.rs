//! A rope against a list.

use super::{Change, Moved, Rope};
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

/// Something at its place, so much further on.
fn moved(own: &(u32, usize), by: isize) -> (u32, usize) {
    (own.0, own.1.saturating_add_signed(by))
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
    fn what_follows_a_change_moves_when_it_is_looked_at(
        items in prop::collection::vec(0..4_u32, 0..400),
        changes in prop::collection::vec(
            (0..400_usize, 0..90_usize, prop::collection::vec(0..4_u32, 0..150), -3..4_isize),
            1..6,
        ),
    ) {
        let mut list: Vec<(u32, usize)> = items.into_iter().zip(1_000..).collect();
        let mut rope = Rope::from(list.clone());
        for (start, gone, new, by) in changes {
            let (old, before) = (rope, list.clone());
            let start = start.min(list.len());
            let range = start..(start + gone).min(list.len());
            // Nothing stands so near the start that it could not move back.
            let new: Vec<(u32, usize)> = new.into_iter().map(|own| (own, 700)).collect();
            let after = [Moved { items: range.end..list.len(), by }];
            rope = old.replaced_moving(range.clone(), new.clone(), (&after, moved));
            list[range.end..].iter_mut().for_each(|own| *own = moved(own, by));
            drop(list.splice(range.clone(), new.iter().copied()));
            prop_assert_eq!(rope.iter().copied().collect::<Vec<_>>(), list.clone());
            prop_assert_eq!(rope.clone().into_iter().collect::<Vec<_>>(), list.clone());
            prop_assert_eq!(old.iter().copied().collect::<Vec<_>>(), before.clone());
            // Wherever they stand, the items are the same; and how far they have moved is known.
            let place = |own: &(u32, usize)| Some(own.1);
            let change = Change { old: range.clone(), new: start..start + new.len() };
            let after = after.iter().filter(|own| own.by != 0 && !own.items.is_empty());
            let found = rope.moved_from(&old, &change, place);
            prop_assert_eq!(found, after.cloned().collect::<Vec<_>>());
            let change = rope.changed_wherever(&old, |own, its| own.0 == its.0);
            let only = |items: &[(u32, usize)]| items.iter().map(|own| own.0).collect::<Vec<_>>();
            prop_assert_eq!(only(&before[..change.old.start]), only(&list[..change.new.start]));
            prop_assert_eq!(only(&before[change.old.end..]), only(&list[change.new.end..]));
            let strict = rope.changed_from(&old, |own, its| own == its);
            prop_assert_eq!(&before[..strict.old.start], &list[..strict.new.start]);
            prop_assert_eq!(&before[strict.old.end..], &list[strict.new.end..]);
            if let Some(last) = list.last().copied() {
                rope.push(last);
                list.push(last);
            }
        }
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

/// Parts that move each by itself are looked at and copied no more than one part.
#[test]
fn what_moves_part_by_part_is_shared_part_by_part() {
    let mut rope: Rope<(u32, usize)> = (0..1_000).zip(0..).collect();
    let mut list: Vec<(u32, usize)> = (0..1_000).zip(0..).collect();
    let parts = [(10..300, 2), (301..640, 5), (641..1_000, -3)];
    let parts = parts.map(|(items, by)| Moved { items, by });
    let place = |own: &(u32, usize)| Some(own.1);
    let mut looked_at = Vec::new();
    for nth in 0..3 {
        let old = rope.clone();
        rope = rope.replaced_moving(0..1, vec![(nth, 0)], (&parts, moved));
        list[0] = (nth, 0);
        for Moved { items, by } in &parts {
            list[items.clone()].iter_mut().for_each(|own| *own = moved(own, *by));
        }
        assert_eq!(rope.iter().copied().collect::<Vec<_>>(), list);
        let change = Change { old: 0..1, new: 0..1 };
        assert_eq!(rope.moved_from(&old, &change, place), parts);
        let count = std::cell::Cell::new(0);
        let same = |own: &(u32, usize), its: &(u32, usize)| {
            count.set(count.get() + 1);
            own.0 == its.0
        };
        rope.changed_wherever(&old, same);
        looked_at.push(count.get());
    }
    assert!(looked_at[0] > 100 && looked_at[2] < 50, "{looked_at:?}");
}

#[test]
fn what_moves_is_shared_and_not_looked_at() {
    let old: Rope<(u32, usize)> = (0..10_000).zip(0..).collect();
    let after = Moved { items: 5_001..10_000, by: 3 };
    let near = old.replaced_moving(5_000..5_001, Vec::new(), (&[after], moved));
    let looked_at = std::cell::Cell::new(0);
    let same = |own: &(u32, usize), its: &(u32, usize)| {
        looked_at.set(looked_at.get() + 1);
        own.0 == its.0
    };
    let change = near.changed_wherever(&old, same);
    assert_eq!(change, Change { old: 5_000..5_001, new: 5_000..5_000 });
    assert!(looked_at.get() < 200, "{}", looked_at.get());
    assert_eq!(near.get(9_000), Some(&(9_001, 9_004)));
}
