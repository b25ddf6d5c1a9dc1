//! Limbs that would have to be in two places at once.

use super::found::Found;
use crate::perform::codes;
use crate::perform::timeline::{Note, Timeline};
use crate::score::kit::{InstrumentId, Kit, Limb};
use crate::score::{Hand, PlayerPart, Span};
use crate::source::say;

/// Centimetres between two drums that one stick might still strike at once. Common practice, no
/// source.
const REACH: u64 = 40;

/// What a block asks of one limb in two places: the first of each kind.
pub(super) fn check(part: &PlayerPart, timeline: &Timeline) -> Vec<Found> {
    let place = LimbPlace { kit: &part.kit, many: part.bars.len() > 1 };
    let notes = || timeline.notes.iter();
    let hand = notes().find_map(|note| place.hand(note));
    let foot = notes().find_map(|note| place.foot(note));
    let mut found: Vec<Found> = hand.into_iter().chain(foot).collect();
    // Which of the two is told first does not matter; the order of their places does.
    found.sort_by_key(|found| found.span);
    if !part.settings.limits.double_pedal {
        found.extend(place.pedal(notes()));
    }
    found
}

struct LimbPlace<'a> {
    kit: &'a Kit,
    /// The block has several bars, so that they are named.
    many: bool,
}

impl LimbPlace<'_> {
    fn bar(&self, index: usize) -> String {
        if self.many { format!("bar {}: ", index + 1) } else { String::new() }
    }

    fn name(&self, id: InstrumentId) -> &str {
        self.kit.get(id).map_or("?", |i| i.name.as_str())
    }

    /// The letter of one hand or foot, and the lowest and the highest of several instruments it is
    /// to strike.
    fn several(note: &Note, limb: Limb) -> Option<(Hand, InstrumentId, InstrumentId)> {
        let letter = note.letter.filter(|letter| *letter != Hand::Both)?;
        match note.instruments.as_slice() {
            [first, .., last] if note.limb == limb => Some((letter, *first, *last)),
            _ => None,
        }
    }

    fn hand(&self, note: &Note) -> Option<Found> {
        let (letter, first, last) = Self::several(note, Limb::Hands)?;
        let far = self.kit.spot(first).distance(self.kit.spot(last)) > REACH;
        far.then(|| Found {
            code: codes::HAND_APART,
            span: note.span,
            message: format!(
                "{}the {} hand is to strike {} at once, which stand too far apart",
                self.bar(note.id.bar),
                side(letter),
                say::listed([self.name(first), self.name(last)])
            ),
            mend: "write `B` for both hands, or leave one of the two out".to_owned(),
        })
    }

    fn foot(&self, note: &Note) -> Option<Found> {
        let (letter, first, last) = Self::several(note, Limb::Feet)?;
        Some(Found {
            code: codes::FOOT_APART,
            span: note.span,
            message: format!(
                "{}the {} foot is to be on {} at once",
                self.bar(note.id.bar),
                side(letter),
                say::listed([self.name(first), self.name(last)])
            ),
            mend: "write `B` for both feet, or leave one of the two out".to_owned(),
        })
    }

    /// Both feet on the one pedal of the kick.
    fn pedal<'n>(&self, notes: impl Iterator<Item = &'n Note>) -> Option<Found> {
        let kicks: Vec<(Hand, Span, usize)> = notes
            .filter(|note| note.limb == Limb::Feet)
            .filter_map(|note| match note.instruments.as_slice() {
                [only] if self.kit.is_kick(*only) => {
                    Some((note.letter?, note.letter_span?, note.id.bar))
                }
                _ => None,
            })
            .collect();
        let of = |hand: Hand| kicks.iter().find(|k| k.0 == hand || k.0 == Hand::Both);
        let (right, left) = (of(Hand::Right)?, of(Hand::Left)?);
        let (_, span, bar) = if right.1 > left.1 { right } else { left };
        Some(Found {
            code: codes::KICK_SHARED,
            span: *span,
            message: format!(
                "{}both feet play the kick here, and it has one pedal",
                self.bar(*bar)
            ),
            mend: "write `double-pedal: yes` if it has two, or give the kick to one foot"
                .to_owned(),
        })
    }
}

fn side(hand: Hand) -> &'static str {
    match hand {
        Hand::Left => "left",
        Hand::Right | Hand::Both => "right",
    }
}
