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
    /// How many a minute, 10 to 400.
    pub per_minute: f64,
    /// Words before it, as `Slowly`.
    pub words: Option<String>,
}

impl WrittenTempo {
    /// Reads `92`, `92 Slowly`, `quarter = 80`, `dotted quarter = 80 Slowly`, `1/8 = 120`.
    pub fn read(text: &str) -> Option<Self> {
        let (mut unit, mut per_minute, mut words) = (None, None, None);
        for token in value_tokens(Rule::tempo_value, text)? {
            match token.as_rule() {
                Rule::note => unit = Some(note::of_token(token)?),
                Rule::decimal => per_minute = figures(&token),
                Rule::tempo_words => words = Some(unquoted(token.as_str()).to_owned()),
                _ => {}
            }
        }
        let per_minute = per_minute.filter(|n| RANGE.contains(n))?;
        Some(Self { unit, per_minute, words: words.filter(|words| !words.is_empty()) })
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
        for text in ["", "9", "401", "fast", "92 a=b", "= 80", "half =", "1e2", "inf"] {
            assert_eq!(plain(text), None, "{text}");
        }
    }
}
