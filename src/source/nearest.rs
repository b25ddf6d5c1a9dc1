//! Suggestions for misspelt words.

use strsim::osa_distance;

/// Words longer than this get no suggestion: no name of the language comes near it.
const LONGEST: usize = 40;

/// The candidate a misspelt word was most likely meant to be: the one the fewest typing slips
/// away, at most one slip for every three letters of the shorter word. Capitals do not
/// count. Of equally near candidates the first is taken.
///
/// A slip is a letter put in, left out, changed, or swapped with its neighbour (Damerau, *A
/// technique for computer detection and correction of spelling errors*, 1964).
pub fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<String> {
    let (word, length) = letters(word)?;
    let mut best: Option<(usize, &str)> = None;
    for candidate in candidates {
        let Some((other, other_length)) = letters(candidate) else { continue };
        let shorter = length.min(other_length);
        let allowed = shorter.div_ceil(3).min(3);
        if shorter < 2 || length.abs_diff(other_length) > allowed {
            continue;
        }
        let slips = osa_distance(&word, &other);
        if slips <= allowed && best.is_none_or(|(least, _)| slips < least) {
            best = Some((slips, candidate));
        }
    }
    best.map(|(_, candidate)| candidate.to_owned())
}

/// A word in small letters, and how many it has; nothing where it is empty or too long.
fn letters(word: &str) -> Option<(String, usize)> {
    let small: String = word.chars().take(LONGEST + 1).flat_map(char::to_lowercase).collect();
    let count = small.chars().count();
    (1..=LONGEST).contains(&count).then_some((small, count))
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
