//! Metronome marks.

use super::list::unquoted;
use super::note;
use super::number::figures;
use crate::score::Time;
use crate::syntax::grammar::{Rule, value_tokens};
use std::ops::RangeInclusive;

/// Slowest and fastest metronome marks taken, in notes a minute.
const RANGE: RangeInclusive<f64> = 10.0..=400.0;

/// A metronome mark whose note may wait for the time signature.
#[derive(Clone, Debug, PartialEq)]
pub struct WrittenTempo {
    /// The note that is counted; the beat of the time signature where nothing is said.
    pub unit: Option<Time>,
    /// How many a minute, 10 to 400; the fewest where it is a range.
    pub per_minute: f64,
    /// The most a minute of a range.
    pub up_to: Option<f64>,
    /// Words before it, as `Slowly`.
    pub words: Option<String>,
    /// Whether it is printed.
    pub printed: bool,
}

impl WrittenTempo {
    /// Reads `92`, `92 Slowly`, `60-120`, `92 unprinted`, `quarter = 80`, `dotted quarter = 80 Slowly`, `1/8 = 120`.
    pub fn read(text: &str) -> Option<Self> {
        let (mut unit, mut per_minute, mut words) = (None, None, None);
        let (mut fastest, mut printed) = (None, true);
        for token in value_tokens(Rule::tempo_value, text)? {
            match token.as_rule() {
                Rule::note => unit = Some(note::of_token(token)?),
                Rule::decimal => per_minute = figures(&token),
                Rule::fastest => fastest = Some(figures(&token)?),
                Rule::unprinted => printed = false,
                Rule::tempo_words => words = Some(unquoted(token.as_str()).to_owned()),
                _ => {}
            }
        }
        let per_minute = per_minute.filter(|n| RANGE.contains(n))?;
        if fastest.is_some_and(|most| most <= per_minute || !RANGE.contains(&most)) {
            return None;
        }
        let words = words.filter(|words| !words.is_empty());
        Some(Self { unit, per_minute, up_to: fastest, words, printed })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tempos_of_the_guide() {
        let plain = |text| WrittenTempo::read(text).map(|t| (t.unit, t.per_minute, t.words));
        assert_eq!(plain("92"), Some((None, 92.0, None)));
        assert_eq!(plain("60 Slowly"), Some((None, 60.0, Some("Slowly".into()))));
        assert_eq!(plain("half = 70"), Some((Some(Time::new(1, 2)), 70.0, None)));
        assert_eq!(
            plain("dotted quarter=80.5 \"Not too fast\""),
            Some((Some(Time::new(3, 8)), 80.5, Some("Not too fast".into())))
        );
        let range = |text| WrittenTempo::read(text).map(|t| (t.per_minute, t.up_to, t.printed));
        assert_eq!(range("60-120"), Some((60.0, Some(120.0), true)));
        assert_eq!(range("half = 60 \u{2013} 72.5 Slowly"), Some((60.0, Some(72.5), true)));
        assert_eq!(range("92 unprinted"), Some((92.0, None, false)));
        for text in [
            "", "120-60", "60-60", "60-500", "9", "401", "fast", "92 a=b", "= 80", "half =", "1e2",
            "inf",
        ] {
            assert_eq!(plain(text), None, "{text}");
        }
    }
}
