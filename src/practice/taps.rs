//! Lists of times that were tapped along with a recording.

use super::beats::{Tap, clock_seconds};
use std::fmt;

/// A line of a list of taps that says no time.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TapError {
    /// Its number, from 1.
    pub line: usize,
    /// What it says.
    pub words: String,
}

impl fmt::Display for TapError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "line {}, `{}`, is no time; write seconds, as 12.40, or minutes, as 0:12.4, and `bar 5 0:20` for the start of a bar",
            self.line, self.words
        )
    }
}

impl std::error::Error for TapError {}

/// Reads taps, one a line: `12.40` or `0:12.4` for the next beat, `bar 5 0:20` for the start of a bar in the order
/// of playing. Empty lines, and what follows a `#`, say nothing.
///
/// # Errors
///
/// A line says no time.
pub fn read_taps(text: &str) -> Result<Vec<Tap>, TapError> {
    let mut taps = Vec::new();
    for (line, words) in (1..).zip(text.lines()) {
        let said = words.split_once('#').map_or(words, |(said, _)| said).trim();
        if said.is_empty() {
            continue;
        }
        let tap = tap(said).ok_or_else(|| TapError { line, words: said.to_owned() })?;
        taps.push(tap);
    }
    Ok(taps)
}

fn tap(words: &str) -> Option<Tap> {
    let mut words = words.split_whitespace();
    let first = words.next()?;
    let (bar, time) = match first {
        "bar" => {
            let bar = words.next()?.parse().ok().filter(|bar| *bar > 0)?;
            (Some(bar), words.next()?)
        }
        time => (None, time),
    };
    let second = clock_seconds(time)?;
    words.next().is_none().then_some(Tap { second, bar })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_line_is_a_tap() {
        let read = read_taps("# a take\n12.40\n\nbar 3 0:15.5  # the fill\n");
        let taps = [Tap { second: 12.4, bar: None }, Tap { second: 15.5, bar: Some(3) }];
        assert_eq!(read.as_deref(), Ok(taps.as_slice()));
        for words in ["twelve", "bar 0 1.0", "bar 1", "1.0 2.0", "-1"] {
            let text = format!("1.0\n{words}\n");
            let refused = TapError { line: 2, words: words.to_owned() };
            assert_eq!(read_taps(&text), Err(refused), "{words}");
        }
    }
}
