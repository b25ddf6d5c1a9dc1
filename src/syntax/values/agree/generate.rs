//! Right, nearly right and any values.

use crate::derive::hands::{StickRule, Way};
use crate::syntax::values::stick::{StickingWay, WrittenSticking};
use proptest::prelude::*;
use proptest::sample::select;

/// How many values are tried; none is written down.
pub fn cases() -> ProptestConfig {
    ProptestConfig {
        cases: 4_000,
        max_global_rejects: 40_000,
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

/// A value: words of its language in any order, a right one with a slip, or anything at all.
pub fn value(
    words: &'static [&'static str],
    right: &'static [&'static str],
) -> impl Strategy<Value = String> {
    let word = (select(words), select(&["", " ", " ", "  "][..]));
    let made = prop::collection::vec(word, 0..6)
        .prop_map(|parts| parts.iter().map(|(word, gap)| format!("{word}{gap}")).collect());
    let slip = (select(right), any::<prop::sample::Index>(), select(words), 0..4usize);
    let slipped = slip.prop_map(|(text, at, word, kind)| {
        let mut letters: Vec<char> = text.chars().collect();
        let at = at.index(letters.len());
        match kind {
            0 => {
                letters.remove(at);
            }
            1 => {
                letters.splice(at..at, word.chars());
            }
            2 => letters[at] = letters[at].to_ascii_uppercase(),
            _ => {}
        }
        letters.into_iter().collect()
    });
    prop_oneof![4 => made, 4 => slipped, 1 => "[ -~é×“”]{0,14}"]
        .prop_map(|text: String| text.trim().to_owned())
}

/// A number only a machine reads: with a sign, a power of ten, or by name.
pub fn is_odd_number(text: &str) -> bool {
    let small = text.to_lowercase();
    let signed = text.contains(['+', '-'])
        && text
            .split(['+', '-'])
            .skip(1)
            .any(|after| after.starts_with(|c: char| c.is_ascii_digit() || c == '.'));
    let figures = small
        .as_bytes()
        .windows(3)
        .any(|w| w[0].is_ascii_digit() && w[1] == b'e' && (w[2].is_ascii_digit() || w[2] == b'+'));
    signed
        || figures
        || small.contains("e+")
        || ["inf", "nan"].iter().any(|name| small.contains(name))
}

/// `quarter notes note`, which is a note to the reader by hand alone.
pub fn ends_twice(text: &str) -> bool {
    let text = text.to_lowercase();
    text.contains("notes note") || text.matches("note").count() > 1
}

/// A rule as the one that is read by hand says it.
pub fn rule_of(sticking: WrittenSticking) -> Option<StickRule> {
    match sticking {
        WrittenSticking::Written => None,
        WrittenSticking::Rule { way, first } => {
            let way = match way {
                StickingWay::Natural => Way::Natural,
                StickingWay::Alternate => Way::Alternate,
                StickingWay::Economy => Way::Economy,
            };
            Some(StickRule { way, first })
        }
    }
}
