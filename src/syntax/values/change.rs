//! The lines of a variation.

use super::cells;
use super::shift::{TurnLine, shift, shift_beats};
use super::stick::{WrittenSticking, WrongSticking, side};
use super::strokes::{AccentsLine, MoveLine, OrderLine, TapsLine, WrongAccents, drums, grace};
use super::subdivision::Subdivision;
use crate::score::{Hand, Time};
use crate::syntax::Piece;
use crate::syntax::grammar::{Rule, is_value, one_token, value_tokens};
use crate::syntax::tree::{CellGroup, Word};

/// Longest run of cells that fills a gap, in bytes.
const LONGEST_FILLING: usize = 64;

/// What goes into a gap.
#[derive(Clone, Debug)]
pub enum FillingLine {
    /// The note after it takes 1 to 3 grace notes.
    Grace(u8),
    /// A diddle.
    Diddle,
    /// These cells, which share it.
    Cells(CellGroup),
}

/// One thing that changes.
#[derive(Clone, Debug)]
pub enum ChangeLine {
    /// Gaps are filled; of this subdivision, where it is said.
    Gaps(FillingLine, Option<Subdivision>),
    /// The taps change.
    Taps(TapsLine),
    /// The accents change.
    Accents(AccentsLine),
    /// A hand plays elsewhere: on one drum, if the line is right.
    ByHand(Hand, Vec<Word>),
    /// What a hand or some drums play goes to other drums.
    Move(MoveLine),
    /// The hands go round.
    Order(OrderLine),
    /// Right and left change places.
    Reverse,
    /// This hand leads.
    Lead(Hand),
    /// Letters by a rule, or those that are written.
    Stick(WrittenSticking),
    /// Everything comes later by this much, of a whole note; earlier where it is below zero.
    Shift(Time),
    /// The same in beats.
    ShiftBeats(i64),
    /// So much of the beginning comes to the end.
    Rotate(TurnLine),
    /// The last note comes first.
    Backwards,
    /// The same notes at another subdivision.
    As(Subdivision),
}

/// Why a line can't be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum WrongChange {
    /// What goes into the gaps is no cells.
    Filling,
    /// What follows `in` is no subdivision.
    FillingParts,
    /// Accents.
    Accents(WrongAccents),
    /// A sticking, where `reverse` might stand too.
    Sticking(WrongSticking),
    /// What moves where is not said.
    Move,
    /// A hand to lead that is none.
    Lead,
    /// How far the phrase is shifted.
    Shift,
    /// How far the phrase is turned.
    Rotate,
    /// `backwards` without `yes`.
    Backwards,
    /// A subdivision that is none.
    As,
}

impl ChangeLine {
    /// Reads one line by its key in small letters; nothing where the key is no change. `sticking:
    /// show` and `sticking: none` are none.
    pub fn read(key: &str, value: Piece<'_>) -> Option<Result<Self, WrongChange>> {
        let value = value.trimmed();
        let text = value.text;
        Some(match key {
            "gaps" => gaps(value),
            "taps" => Ok(Self::Taps(TapsLine::read(value))),
            "accents" => AccentsLine::read(value).map(Self::Accents).map_err(WrongChange::Accents),
            "right" => Ok(Self::ByHand(Hand::Right, drums(value))),
            "left" => Ok(Self::ByHand(Hand::Left, drums(value))),
            "move" => MoveLine::read(value).map(Self::Move).ok_or(WrongChange::Move),
            "order" => Ok(Self::Order(OrderLine::read(value))),
            "sticking" if is_value(Rule::shown_value, text) => return None,
            "lead" => side(text).map(Self::Lead).ok_or(WrongChange::Lead),
            "sticking" | "stick" if is_value(Rule::reverse_value, text) => Ok(Self::Reverse),
            "sticking" | "stick" => {
                WrittenSticking::read(text).map(Self::Stick).map_err(WrongChange::Sticking)
            }
            "shift" => {
                let beats = || shift_beats(text).map(Self::ShiftBeats);
                shift(text).map(Self::Shift).or_else(beats).ok_or(WrongChange::Shift)
            }
            "rotate" => TurnLine::read(text).map(Self::Rotate).ok_or(WrongChange::Rotate),
            "backwards" if is_value(Rule::yes_value, text) => Ok(Self::Backwards),
            "backwards" => Err(WrongChange::Backwards),
            "as" => Subdivision::read(text).map(Self::As).ok_or(WrongChange::As),
            _ => return None,
        })
    }
}

fn gaps(value: Piece<'_>) -> Result<ChangeLine, WrongChange> {
    let (mut cells, mut parts) = (value, None);
    for token in value_tokens(Rule::gaps_value, value.text).into_iter().flatten() {
        if token.as_rule() == Rule::gaps_filling {
            cells = value.part(&token).trimmed();
        } else {
            let read = Subdivision::read(token.as_str()).ok_or(WrongChange::FillingParts)?;
            parts = Some(read);
        }
    }
    let named = one_token(Rule::filling_value, cells.text).map(|token| token.as_rule());
    let filling = match named.map(|rule| (rule, grace(rule))) {
        Some((_, Some(notes))) => FillingLine::Grace(notes),
        Some(_) => FillingLine::Diddle,
        None if cells.text.len() > LONGEST_FILLING => return Err(WrongChange::Filling),
        None => FillingLine::Cells(cells::group(cells).ok_or(WrongChange::Filling)?),
    };
    Ok(ChangeLine::Gaps(filling, parts))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(key: &str, text: &str) -> Option<Result<ChangeLine, WrongChange>> {
        ChangeLine::read(key, Piece { text, start: 0 })
    }

    fn wrong(key: &str, text: &str) -> Option<WrongChange> {
        read(key, text)?.err()
    }

    #[test]
    fn gaps_of_the_guide() {
        let gaps = |text| match read("gaps", text) {
            Some(Ok(ChangeLine::Gaps(filling, parts))) => (filling, parts),
            other => panic!("{text}: {other:?}"),
        };
        assert!(matches!(gaps("kk"), (FillingLine::Cells(group), None) if group.cells.len() == 2));
        assert!(matches!(gaps("(s)"), (FillingLine::Cells(_), None)));
        assert!(matches!(gaps("diddle"), (FillingLine::Diddle, None)));
        assert!(matches!(gaps("ruff"), (FillingLine::Grace(3), None)));
        assert!(matches!(
            gaps("k in sixteenths"),
            (FillingLine::Cells(_), Some(Subdivision::Sixteenths))
        ));
        assert_eq!(wrong("gaps", "k k"), Some(WrongChange::Filling));
        assert_eq!(wrong("gaps", "k in halves"), Some(WrongChange::FillingParts));
    }

    #[test]
    fn lines_of_the_guide() {
        for (key, text) in [
            ("taps", "diddle"),
            ("accents", "crash with kick"),
            ("accents", "every 3 notes"),
            ("right", "floor"),
            ("order", "snare tom1 tom2 floor"),
            ("sticking", "reverse"),
            ("sticking", "natural left"),
            ("stick", "economy"),
            ("lead", "left"),
            ("shift", "one eighth earlier"),
            ("rotate", "one beat"),
            ("backwards", "yes"),
            ("as", "triplets"),
        ] {
            assert!(matches!(read(key, text), Some(Ok(_))), "{key}: {text}");
        }
        assert!(read("sticking", "show").is_none() && read("tempo", "92").is_none());
    }

    #[test]
    fn what_is_wrong_is_told_apart() {
        assert_eq!(wrong("lead", "both"), Some(WrongChange::Lead));
        assert_eq!(wrong("shift", "far"), Some(WrongChange::Shift));
        assert_eq!(wrong("rotate", "3 bars"), Some(WrongChange::Rotate));
        assert_eq!(wrong("backwards", "no"), Some(WrongChange::Backwards));
        assert_eq!(wrong("as", "halves"), Some(WrongChange::As));
        let unknown = WrongSticking::Unknown(None);
        assert_eq!(wrong("stick", "waltz"), Some(WrongChange::Sticking(unknown)));
    }
}
