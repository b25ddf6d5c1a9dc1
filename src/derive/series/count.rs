//! Arrangements of a series, each once and in a fixed order.

use std::cmp::Reverse;

/// Which of some places are taken, or which notes are right: one mark for each.
pub(super) type Arrangement = Vec<bool>;

/// `n` over `k`, or the largest number there is.
pub(super) fn binomial(n: usize, k: usize) -> u64 {
    let k = k.min(n.saturating_sub(k));
    let mut all: u128 = 1;
    for i in 0..k {
        let Some(next) = all.checked_mul((n - i) as u128) else { return u64::MAX };
        all = next / (i as u128 + 1);
    }
    u64::try_from(all).unwrap_or(u64::MAX)
}

/// All choices of `k` of `n` places, the earliest places first.
pub(super) fn choices(n: usize, k: usize) -> Vec<Arrangement> {
    let mut found = Vec::new();
    if k > n {
        return found;
    }
    let mut places: Vec<usize> = (0..k).collect();
    loop {
        found.push(marked(n, &places));
        // The last place that can go on does, and those after it follow closely.
        let Some(at) = (0..k).rev().find(|i| places[*i] < n - k + i) else { return found };
        places[at] += 1;
        for i in at + 1..k {
            places[i] = places[i - 1] + 1;
        }
    }
}

fn marked(n: usize, places: &[usize]) -> Arrangement {
    let mut pattern = vec![false; n];
    for place in places {
        pattern[*place] = true;
    }
    pattern
}

/// All choices of `k` of `n` places, where each differs from the one before by one mark that
/// moves: the revolving door (Nijenhuis and Wilf, *Combinatorial Algorithms*, 1975; Knuth, *The Art
/// of Computer Programming* 7.2.1.3; from memory), built up from shorter rows.
pub(super) fn revolving(n: usize, k: usize) -> Vec<Arrangement> {
    if k > n {
        return Vec::new();
    }
    if k > n - k {
        // The places left free are fewer, and one of them moves where a mark does.
        let mut free = revolving(n, n - k);
        free.iter_mut().flatten().for_each(|mark| *mark = !*mark);
        return free;
    }
    // Of `m` places, the row of lists for 0 to k marks.
    let mut lists: Vec<Vec<Arrangement>> = vec![Vec::new(); k + 1];
    lists[0] = vec![Vec::new()];
    for m in 0..n {
        let mut next: Vec<Vec<Arrangement>> = Vec::with_capacity(k + 1);
        for marks in 0..=k.min(m + 1) {
            let with = |pattern: &Arrangement, last: bool| {
                let mut pattern = pattern.clone();
                pattern.push(last);
                pattern
            };
            let mut list: Vec<Arrangement> = lists[marks].iter().map(|p| with(p, false)).collect();
            if let Some(fewer) = marks.checked_sub(1).and_then(|i| lists.get(i)) {
                list.extend(fewer.iter().rev().map(|p| with(p, true)));
            }
            next.push(list);
        }
        next.resize(k + 1, Vec::new());
        lists = next;
    }
    lists.pop().unwrap_or_default()
}

/// All rows of `n` notes that begin with a right and have at most `run` of one hand in a row; at
/// most `most` of them are made.
pub(super) fn stickings(n: usize, run: usize, most: usize) -> Vec<Arrangement> {
    let mut found = Vec::new();
    let mut pattern = vec![true];
    if n == 0 || run == 0 {
        return found;
    }
    loop {
        let last = pattern[pattern.len() - 1];
        let same = pattern.iter().rev().take_while(|h| **h == last).count();
        if same > run || pattern.len() == n {
            if same <= run {
                found.push(pattern.clone());
                if found.len() >= most {
                    return found;
                }
            }
            // Right before left: the last right becomes a left, but the first note stays.
            while pattern.last() == Some(&false) {
                pattern.pop();
            }
            if pattern.len() <= 1 {
                return found;
            }
            pattern.pop();
            pattern.push(false);
        } else {
            pattern.push(true);
        }
    }
}

/// Leaves out every pattern that is an earlier one begun at another place.
pub(super) fn once_round(patterns: &mut Vec<Arrangement>) {
    let least = |p: &Arrangement| {
        (0..p.len())
            .map(|by| {
                let mut turned = p.clone();
                turned.rotate_left(by);
                Reverse(turned)
            })
            .min()
    };
    let mut seen = std::collections::BTreeSet::new();
    patterns.retain(|p| seen.insert(least(p)));
}

/// How many of one hand come in a row where a pattern ends and begins again.
pub(super) fn over_the_seam(pattern: &[bool]) -> usize {
    let run = |hands: &mut dyn Iterator<Item = &bool>| {
        let first = hands.next();
        first.map_or(0, |first| 1 + hands.take_while(|hand| *hand == first).count())
    };
    let (head, tail) = (run(&mut pattern.iter()), run(&mut pattern.iter().rev()));
    match (pattern.first(), pattern.last()) {
        // One hand alone never stops.
        _ if head == pattern.len() => usize::MAX,
        (Some(first), Some(last)) if first == last => head + tail,
        _ => 0,
    }
}

/// How often the same hand, or a mark, comes twice running.
pub(super) fn doubles(pattern: &[bool]) -> usize {
    pattern.windows(2).filter(|w| w[0] == w[1]).count()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    fn all_new(patterns: &[Arrangement]) -> bool {
        patterns.iter().collect::<BTreeSet<_>>().len() == patterns.len()
    }

    /// Binomial coefficients: Graham, Knuth and Patashnik, *Concrete Mathematics*, table 155, from
    /// memory.
    #[test]
    fn choices_are_as_many_as_the_binomials() {
        for (n, k, count) in
            [(4, 2, 6), (8, 3, 56), (16, 2, 120), (6, 0, 1), (5, 5, 1), (12, 3, 220), (10, 5, 252)]
        {
            for list in [choices(n, k), revolving(n, k)] {
                assert_eq!(list.len(), count, "{k} of {n}");
                assert!(all_new(&list));
                assert!(list.iter().all(|p| p.len() == n && p.iter().filter(|m| **m).count() == k));
            }
            assert_eq!(binomial(n, k), count as u64);
        }
        assert_eq!(binomial(64, 32), 1_832_624_140_942_590_534);
        assert!(choices(3, 4).is_empty());
    }

    /// One mark moves: two places differ.
    #[test]
    fn neighbours_of_the_revolving_door_differ_by_one_move() {
        for n in 1..10 {
            for k in 1..n {
                for pair in revolving(n, k).windows(2) {
                    let moved = pair[0].iter().zip(&pair[1]).filter(|(a, b)| a != b).count();
                    assert_eq!(moved, 2, "{k} of {n}");
                }
            }
        }
    }

    /// A sticking that begins with a right is a composition of its length into runs. Compositions
    /// of n into parts of at most 2 are counted by the Fibonacci numbers, at most 3 by the
    /// tribonacci numbers, without a bound by the powers of two (Flajolet and Sedgewick, *Analytic
    /// Combinatorics* I.3, from memory).
    #[test]
    fn stickings_are_as_many_as_the_compositions() {
        for (n, run, count) in [
            (4, 2, 5),
            (8, 2, 34),
            (12, 2, 233),
            (4, 3, 7),
            (6, 3, 24),
            (8, 3, 81),
            (8, 1, 1),
            (8, 8, 128),
            (1, 1, 1),
        ] {
            let list = stickings(n, run, 10_000);
            assert_eq!(list.len(), count, "{n} notes, {run} in a row");
            assert!(all_new(&list) && list.iter().all(|p| p[0] && p.len() == n));
        }
        assert_eq!(stickings(16, 16, 100).len(), 100);
    }

    #[test]
    fn runs_go_on_over_the_seam() {
        let hands = |text: &str| text.chars().map(|c| c == 'R').collect::<Vec<bool>>();
        for (pattern, run) in
            [("RLRL", 0), ("RLLR", 2), ("RRLR", 3), ("RLRR", 3), ("R", usize::MAX)]
        {
            assert_eq!(over_the_seam(&hands(pattern)), run, "{pattern}");
        }
        // What is left is what has no three alike anywhere when it is played twice.
        let rows = stickings(8, 2, 1_000);
        let ring: Vec<_> = rows.iter().filter(|p| over_the_seam(p) <= 2).collect();
        assert!(ring.len() < rows.len());
        let runs = |p: &[bool]| p.repeat(2).windows(3).any(|w| w[0] == w[1] && w[1] == w[2]);
        assert_eq!(ring.len(), rows.iter().filter(|p| !runs(p)).count());
    }

    /// Necklaces of 4 black and 4 white beads are 10, of 3 and 3 are 4, of 2 and 4 are 3, by
    /// Burnside's lemma (*Concrete Mathematics* 4.63 for all colours, from memory).
    #[test]
    fn turnings_left_out_leave_the_necklaces() {
        for (n, k, count) in [(8, 4, 10), (6, 3, 4), (6, 2, 3), (4, 2, 2), (12, 6, 80)] {
            let mut list = choices(n, k);
            once_round(&mut list);
            assert_eq!(list.len(), count, "{k} of {n}");
        }
    }
}
