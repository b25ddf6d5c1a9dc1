//! Stickings by a rule.

use crate::score::Hand;
use crate::source::nearest;
use crate::syntax::grammar::{Rule, is_value, one_token, value_tokens};

/// The words a rule may begin with.
const WORDS: [&str; 5] = ["natural", "alternate", "economy", "lead", "written"];

/// How the hands are told apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StickingWay {
    /// Each hand keeps its places on the subdivision grid.
    Natural,
    /// The hands take turns, note by note.
    Alternate,
    /// The way round the kit that moves the hands least.
    Economy,
}

/// What a `stick:` line says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WrittenSticking {
    /// No letters but those that are written.
    Written,
    /// Letters by a rule.
    Rule {
        /// How the hands are told apart.
        way: StickingWay,
        /// The hand that leads: right or left.
        first: Hand,
    },
}

/// Why a `stick:` line can't be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum WrongSticking {
    /// What follows the rule is no hand.
    Hand,
    /// There is no such rule; the one that was most likely meant.
    Unknown(Option<String>),
}

impl WrittenSticking {
    /// Reads `natural`, `alternate left`, `economy`, `lead left`, `written`.
    ///
    /// # Errors
    /// Where the hand or the rule is not known.
    pub fn read(text: &str) -> Result<Self, WrongSticking> {
        let Some(tokens) = value_tokens(Rule::stick_value, text) else {
            return Err(wrong(text));
        };
        let (mut way, mut first) = (StickingWay::Natural, Hand::Right);
        for token in tokens {
            match token.as_rule() {
                Rule::stick_written => return Ok(Self::Written),
                Rule::stick_alternate => way = StickingWay::Alternate,
                Rule::stick_economy => way = StickingWay::Economy,
                Rule::left_side => first = Hand::Left,
                _ => {}
            }
        }
        Ok(Self::Rule { way, first })
    }
}

/// Reads `right` or `left`.
pub fn side(text: &str) -> Option<Hand> {
    one_token(Rule::side_value, text).map(|token| hand(token.as_rule()))
}

/// Whether a value says whether letters are shown, and not how they come about.
pub fn is_shown(text: &str) -> bool {
    is_value(Rule::shown_value, text)
}

/// The hand of a side.
pub(super) fn hand(rule: Rule) -> Hand {
    if rule == Rule::left_side { Hand::Left } else { Hand::Right }
}

fn wrong(text: &str) -> WrongSticking {
    let mut words = value_tokens(Rule::stick_said_value, text).into_iter().flatten();
    let word = words.next().map_or("", |word| word.as_str()).to_lowercase();
    let hand = words.next().map_or("", |rest| rest.as_str().trim()).to_lowercase();
    if side(&hand).is_none() && (!hand.is_empty() || word == "lead") {
        return WrongSticking::Hand;
    }
    WrongSticking::Unknown(nearest(&word, WORDS))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rules_of_the_guide() {
        let rule = |way, first| Ok(WrittenSticking::Rule { way, first });
        let read = WrittenSticking::read;
        assert_eq!(read("natural"), rule(StickingWay::Natural, Hand::Right));
        assert_eq!(read("Alternate Left"), rule(StickingWay::Alternate, Hand::Left));
        assert_eq!(read("economy  left"), rule(StickingWay::Economy, Hand::Left));
        assert_eq!(read("lead left"), rule(StickingWay::Natural, Hand::Left));
        assert_eq!(read("written"), Ok(WrittenSticking::Written));
    }

    #[test]
    fn what_is_wrong_is_told() {
        let read = WrittenSticking::read;
        assert_eq!(read("lead"), Err(WrongSticking::Hand));
        assert_eq!(read("natural up"), Err(WrongSticking::Hand));
        assert_eq!(read("natrual"), Err(WrongSticking::Unknown(Some("natural".into()))));
        assert_eq!(read("waltz"), Err(WrongSticking::Unknown(None)));
    }
}
