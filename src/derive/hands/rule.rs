//! The hand of each note by a rule.

use super::{economy, natural};
use crate::derive::phrase::{Letter, LimbNote, Phrase};
use crate::score::kit::Limb;
use crate::score::settings::{StickRule, Way};
use crate::score::{Hand, Kit};

/// The hand for each note of the hands, in order. Two drums at once take both.
pub(crate) fn hands(rule: StickRule, phrase: &Phrase, kit: &Kit) -> Vec<Hand> {
    match rule.way {
        Way::Natural => natural::hands(phrase, rule.first),
        Way::Alternate => alternate(phrase, rule.first),
        Way::Economy => economy::hands(&economy::steps(phrase, kit), rule.first),
    }
}

/// Hand to hand. A stroke of both hands takes no turn from either.
fn alternate(phrase: &Phrase, first: Hand) -> Vec<Hand> {
    let mut next = first;
    phrase
        .hands()
        .map(|note| {
            if note.strikes.len() > 1 {
                return Hand::Both;
            }
            let hand = next;
            next = next.other();
            hand
        })
        .collect()
}

/// Gives every note of the hands the letter of a rule, with the letters of its grace notes.
pub(crate) fn stick(phrase: &mut Phrase, kit: &Kit, rule: StickRule) {
    let hands = hands(rule, phrase, kit);
    let notes = phrase.notes.iter_mut().filter(|n| n.limb == Limb::Hands);
    for (note, hand) in notes.zip(hands) {
        give(note, hand);
    }
}

/// Gives a note the letter of a hand, with the letters of its grace notes.
pub(super) fn give(note: &mut LimbNote, hand: Hand) {
    note.letter = Some(Letter::plain(hand));
    note.set_grace(note.grace);
}
