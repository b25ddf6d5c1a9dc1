//! Suggestions for misspelt words.

/// Words longer than this get no suggestion: no name of the language comes near it.
const LONGEST: usize = 40;

/// The candidate a misspelt word was most likely meant to be: the one the fewest typing slips
/// away, at most one slip for every three letters of the shorter word. Capitals do not
/// count. Of equally near candidates the first is taken.
///
/// A slip is a letter put in, left out, changed, or swapped with its neighbour (Damerau, *A
/// technique for computer detection and correction of spelling errors*, 1964).
pub fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<String> {
    let word = letters(word)?;
    let mut best: Option<(usize, &str)> = None;
    for candidate in candidates {
        let Some(other) = letters(candidate) else { continue };
        let shorter = word.len().min(other.len());
        let allowed = shorter.div_ceil(3).min(3);
        if shorter < 2 || word.len().abs_diff(other.len()) > allowed {
            continue;
        }
        let slips = distance(&word, &other);
        if slips <= allowed && best.is_none_or(|(least, _)| slips < least) {
            best = Some((slips, candidate));
        }
    }
    best.map(|(_, candidate)| candidate.to_owned())
}

fn letters(word: &str) -> Option<Vec<char>> {
    let letters: Vec<char> = word.chars().take(LONGEST + 1).flat_map(char::to_lowercase).collect();
    (!letters.is_empty() && letters.len() <= LONGEST).then_some(letters)
}

/// Slips between two words, row by row of the usual table; only the last three rows are kept.
fn distance(from: &[char], to: &[char]) -> usize {
    let mut before = vec![0; to.len() + 1];
    let mut above: Vec<usize> = (0..=to.len()).collect();
    let mut row = vec![0; to.len() + 1];
    for (i, a) in from.iter().enumerate() {
        row[0] = i + 1;
        for (j, b) in to.iter().enumerate() {
            let changed = above[j] + usize::from(a != b);
            let mut least = changed.min(above[j + 1] + 1).min(row[j] + 1);
            if i > 0 && j > 0 && *a == to[j - 1] && from[i - 1] == *b {
                least = least.min(before[j - 1] + 1);
            }
            row[j + 1] = least;
        }
        std::mem::swap(&mut before, &mut above);
        std::mem::swap(&mut above, &mut row);
    }
    above[to.len()]
}

#[cfg(test)]
mod tests {
    use super::nearest;

    const WORDS: [&str; 6] = ["groove", "fill", "exercise", "rudiment", "kit", "syllables"];

    #[test]
    fn a_slip_or_two_is_understood() {
        assert_eq!(nearest("grove", WORDS).as_deref(), Some("groove"));
        assert_eq!(nearest("Fil", WORDS).as_deref(), Some("fill"));
        assert_eq!(nearest("flil", WORDS).as_deref(), Some("fill"));
        assert_eq!(nearest("excercize", WORDS).as_deref(), Some("exercise"));
    }

    #[test]
    fn a_stranger_is_not_renamed() {
        assert_eq!(nearest("waltz", WORDS), None);
        assert_eq!(nearest("k", WORDS), None);
        assert_eq!(nearest("and", ["hands"]), None);
        assert_eq!(nearest("", WORDS), None);
        assert_eq!(nearest(&"fill".repeat(100), WORDS), None);
    }

    #[test]
    fn the_first_of_equals_is_taken() {
        assert_eq!(nearest("tom", ["tom1", "tom2"]).as_deref(), Some("tom1"));
    }
}
