//! The lines of a variation: what they may say.

use super::pattern::Pattern;
use crate::interpret::stick_rule;
use crate::interpret::wrong_value::WrongValue;
use crate::score::kit::InstrumentId;
use crate::score::settings::StickRule;
use crate::score::{Hand, Kit, Span, Time};
use crate::source::{nearest, say};
use crate::syntax::Piece;
use crate::syntax::tree::Word;
use crate::syntax::values::change::{ChangeLine as WrittenChange, FillingLine, WrongChange};
use crate::syntax::values::shift::TurnLine;
use crate::syntax::values::strokes::{
    AccentPlace, AccentsLine, MoveLine, MovedFrom, OrderLine, OrderStep, TapsLine, WrongAccents,
};
use crate::syntax::values::subdivision::Subdivision;

/// Most instruments that one line names.
const MOST_INSTRUMENTS: usize = 64;
/// What may go into a gap.
const FILLINGS: &str = "write what goes into each silent cell: cells such as `k`, `kk` or `(s)`, `diddle`, or `flam`, `drag` or `ruff` for grace notes that lead out of the gap";

/// What may be moved.
const MOVE: &str =
    "write what goes where, as `move: hat to ride`, or which hand, as `move: right to kick`";

/// Words a variation knows beside the keys of any block.
pub(crate) const WORDS: [&str; 13] = [
    "gaps",
    "taps",
    "accents",
    "move",
    "right",
    "left",
    "order",
    "sticking",
    "lead",
    "shift",
    "rotate",
    "backwards",
    "as",
];

/// What goes into a gap.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Filling {
    /// Grace notes that lead into the note after the gap.
    Grace(u8),
    /// Cells, as if the gap were a beat.
    Cells(Pattern),
}

/// What happens to the taps: the notes of the hands that are neither accented nor ghosted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Taps {
    Diddle,
    Ghost,
    Grace(u8),
    Drop,
    Move(Vec<InstrumentId>),
}

/// Which notes are accented.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Places {
    /// None.
    Nowhere,
    /// Those at these places, named as in a count row; where no beat is named, of every beat.
    Counts(Vec<AccentPlace>),
    /// The first and every so many notes after it.
    Every(usize),
}

/// When an order of drums goes on to its next.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Step {
    Beat,
    Note,
    Accent,
}

/// What is moved.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Moved {
    /// What one hand plays.
    Hand(Hand),
    /// What is played on these instruments.
    Instruments(Vec<InstrumentId>),
}

/// How far a phrase turns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Turn {
    Notes(i64),
    Beats(i64),
    Time(Time),
}

/// One thing that changes.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Change {
    /// Silent cells are filled, of this subdivision where one is named.
    Gaps(Filling, Option<Subdivision>),
    /// Something happens to the taps.
    Taps(Taps),
    /// What is accented goes to other instruments.
    AccentsTo(Vec<InstrumentId>),
    /// Other notes are accented.
    AccentsAt(Places),
    /// The accents take grace notes.
    AccentsGrace(u8),
    /// Only the accents stay.
    Skeleton,
    /// What a hand or some instruments play goes to other instruments.
    Move(Moved, Vec<InstrumentId>),
    /// A hand goes to an instrument.
    ByHand(Hand, InstrumentId),
    /// The hands go from drum to drum.
    Order(Vec<InstrumentId>, Step),
    /// Right and left change places.
    Reverse,
    /// A hand leads.
    Lead(Hand),
    /// The hands are told apart by a rule.
    Stick(StickRule),
    /// Every note comes later, or earlier where it is below zero.
    Shift(Time),
    /// The same, in beats.
    ShiftBeats(i64),
    /// The phrase begins later.
    Rotate(Turn),
    /// The last note comes first.
    Backwards,
    /// The same notes in another subdivision.
    As(Subdivision),
}

impl Change {
    /// Reads one line; nothing where its word is no change. An error says what may be written.
    pub(crate) fn read(key: &str, value: Piece<'_>, kit: &Kit) -> Option<Result<Self, WrongValue>> {
        let written = WrittenChange::read(key, value)?;
        let span = value.span();
        Some(written.map_err(|wrong| help(&wrong, span)).and_then(|line| of_line(key, line, kit)))
    }
}

fn of_line(key: &str, line: WrittenChange, kit: &Kit) -> Result<Change, WrongValue> {
    Ok(match line {
        WrittenChange::Gaps(filling, named) => Change::Gaps(filling_of(filling, kit)?, named),
        WrittenChange::Taps(taps) => Change::Taps(match taps {
            TapsLine::Diddle => Taps::Diddle,
            TapsLine::Ghost => Taps::Ghost,
            TapsLine::Grace(notes) => Taps::Grace(notes),
            TapsLine::Drop => Taps::Drop,
            TapsLine::To(drums) => Taps::Move(instruments(&drums, kit).map_err(|e| {
                e.told(|e| {
                    format!("it may be `diddle`, `ghost`, `flam`, `drag`, `drop` or a drum; {e}")
                })
            })?),
        }),
        WrittenChange::Accents(accents) => accents_of(accents, kit)?,
        WrittenChange::ByHand(hand, drums) => match instruments(&drums, kit)?.as_slice() {
            [one] => Change::ByHand(hand, *one),
            [] | [_, ..] => {
                return Err(format!("name one drum or cymbal, as `{key}: floor`").into());
            }
        },
        WrittenChange::Move(MoveLine { from, to }) => {
            let from = match from {
                MovedFrom::Hand(hand) => Moved::Hand(hand),
                MovedFrom::Drums(drums) => Moved::Instruments(instruments(&drums, kit)?),
            };
            Change::Move(from, instruments(&to, kit)?)
        }
        WrittenChange::Order(OrderLine { drums, step }) => {
            let step = match step.ok_or("after `by` stands `beat`, `note` or `accent`")? {
                OrderStep::Beat => Step::Beat,
                OrderStep::Note => Step::Note,
                OrderStep::Accent => Step::Accent,
            };
            Change::Order(instruments(&drums, kit)?, step)
        }
        WrittenChange::Reverse => Change::Reverse,
        WrittenChange::Lead(hand) => Change::Lead(hand),
        WrittenChange::Stick(sticking) => Change::Stick(
            stick_rule::rule(sticking)
                .ok_or("a variation keeps its parent's letters; leave the line out")?,
        ),
        WrittenChange::Shift(by) => Change::Shift(by),
        WrittenChange::ShiftBeats(beats) => Change::ShiftBeats(beats),
        WrittenChange::Rotate(turn) => Change::Rotate(match turn {
            TurnLine::Notes(notes) => Turn::Notes(notes),
            TurnLine::Beats(beats) => Turn::Beats(beats),
            TurnLine::Time(time) => Turn::Time(time),
        }),
        WrittenChange::Backwards => Change::Backwards,
        WrittenChange::As(named) => Change::As(named),
    })
}

fn filling_of(filling: FillingLine, kit: &Kit) -> Result<Filling, WrongValue> {
    let pattern = match filling {
        FillingLine::Grace(notes) => return Ok(Filling::Grace(notes)),
        FillingLine::Diddle => Pattern::diddle(kit),
        FillingLine::Cells(group) => {
            Pattern::of_groups(&[group], kit).filter(|p| !p.is_silent()).ok_or(FILLINGS)?
        }
    };
    Ok(Filling::Cells(pattern))
}

fn accents_of(accents: AccentsLine, kit: &Kit) -> Result<Change, WrongValue> {
    Ok(match accents {
        AccentsLine::Drop => Change::AccentsAt(Places::Nowhere),
        AccentsLine::Only => Change::Skeleton,
        AccentsLine::Grace(notes) => Change::AccentsGrace(notes),
        AccentsLine::On(places) => {
            let of = |place: &AccentPlace| match place {
                AccentPlace::Of(_, beat) => Some(*beat),
                AccentPlace::Word(_) | AccentPlace::Division(_) => None,
            };
            if places.iter().filter_map(of).any(|beat| beat == 0) {
                return Err("beats are counted from 1".into());
            }
            Change::AccentsAt(Places::Counts(places))
        }
        AccentsLine::Every(notes) => Change::AccentsAt(Places::Every(notes)),
        AccentsLine::To(drums) => Change::AccentsTo(instruments(&drums, kit).map_err(|e| {
            e.told(|e| format!("it may be `drop`, `only`, `flam`, `drag`, `on 1 & a`, `every 3 notes`, or drums to move them to, as `crash with kick`; {e}"))
        })?),
    })
}

/// What may be written in place of a wrong line, whose value stands at a place.
fn help(wrong: &WrongChange, span: Span) -> WrongValue {
    let names = || say::choice(Subdivision::ALL.map(Subdivision::name));
    let help = match wrong {
        WrongChange::Filling => FILLINGS.to_owned(),
        WrongChange::FillingParts => format!("after `in` stands one of {}", names()),
        WrongChange::Accents(WrongAccents::Count(word)) => {
            format!("`{}` is not a count; write for instance `accents: on 1 & a 3`", word.value)
        }
        WrongChange::Accents(WrongAccents::CountMissing) => {
            "write for instance `accents: on 1 & a 3`".to_owned()
        }
        WrongChange::Accents(WrongAccents::Every) => {
            "write for instance `accents: every 3 notes`".to_owned()
        }
        WrongChange::Sticking(wrong) => {
            let wrong = stick_rule::help(wrong, span);
            return wrong.told(|help| format!("{help}; or `reverse`"));
        }
        WrongChange::Move => MOVE.to_owned(),
        WrongChange::Lead => "it may be `right` or `left`".to_owned(),
        WrongChange::Shift => {
            "write a note value, as `shift: one sixteenth`, `shift: dotted eighth` or `shift: one eighth earlier`, or beats, as `shift: one beat`".to_owned()
        }
        WrongChange::Rotate => {
            "write how much comes to the end, as `rotate: 3 notes`, `rotate: one beat` or `rotate: one eighth`".to_owned()
        }
        WrongChange::Backwards => "write `backwards: yes`, or leave the line out".to_owned(),
        WrongChange::As => format!("it may be {}", names()),
    };
    help.into()
}

/// The instruments of words, by name or letter; at least one. An error says what may be written.
pub(super) fn instruments(words: &[Word], kit: &Kit) -> Result<Vec<InstrumentId>, WrongValue> {
    let mut found = Vec::new();
    for Word { value: word, span } in words {
        let mut letters = word.chars();
        let letter = letters.next().filter(|_| word.len() == 1);
        let id = kit.by_name(word).or_else(|| letter.and_then(|l| kit.by_letter(l)));
        if id.is_none() && word.eq_ignore_ascii_case("toms") {
            found.extend(kit.toms());
            continue;
        }
        found.push(id.ok_or_else(|| {
            match nearest(word, kit.instruments.iter().map(|i| i.name.as_str())) {
                Some(near) => WrongValue::misspelt(*span, &near, format!("did you mean `{near}`?")),
                None => {
                    let word: String = word.chars().take(24).collect();
                    format!("this kit has no `{word}`").into()
                }
            }
        })?);
    }
    if found.is_empty() || found.len() > MOST_INSTRUMENTS {
        return Err("name drums or cymbals, as `snare tom1 floor`".into());
    }
    Ok(found)
}
