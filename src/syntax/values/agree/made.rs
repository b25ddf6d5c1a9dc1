//! Lines of blocks that are made.

use super::by_hand;
use super::generate::{cases, ends_twice, is_odd_number, rule_of, value};
use crate::derive::series::rule::Rule;
use crate::derive::variation::change::{self, Change};
use crate::interpret;
use crate::score::{Hand, Kit};
use crate::source::{Diagnostics, Source};
use crate::syntax;
use crate::syntax::Piece;
use crate::syntax::tree::Word;
use crate::syntax::values::change::{ChangeLine, FillingLine, WrongChange};
use crate::syntax::values::sequence::played;
use crate::syntax::values::series::{SeriesLine, SeriesOrder, WrongSeries};
use crate::syntax::values::shift::TurnLine;
use crate::syntax::values::stick::WrongSticking;
use crate::syntax::values::strokes::{AccentsLine, OrderStep, TapsLine, WrongAccents};
use proptest::prelude::*;
use proptest::sample::select;

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn changes(
        key in select(&["gaps", "taps", "accents", "right", "left", "order", "sticking", "stick", "lead", "shift",
            "rotate", "backwards", "as", "tempo"][..]),
        text in value(
            &["snare", "k", "kk", "tom1", "with", "and", ",", "by", "note", "beats", "accent", "diddle", "ghost", "drop",
              "flam", "drag", "in", "sixteenths", "triplet", "on", "1", "3", "&", "a", "e", "trip", "every", "notes", "only",
              "none", "reverse", "natural", "left", "right", "one", "eighth", "earlier", "later", "back", "yes", "waltz", "show"],
            &["kk", "k in sixteenths", "(s)", "diddle", "crash with kick", "on 1 & a 3", "on &", "every 3 notes", "only",
              "floor", "snare tom1 by note", "reverse", "alternate left", "lead left", "one sixteenth", "one eighth earlier",
              "back 3/16", "3 notes", "one beat", "yes", "triplets", "left"],
        ),
    ) {
        prop_assume!(!is_odd_number(&text) && !ends_twice(&text));
        changes_agree(key, &text)?;
    }

    #[test]
    fn series_rules(
        key in select(&["accents", "notes", "stickings"][..]),
        text in value(
            &["2", "three", "8", "9", "33", "0", "of", "ssss", "s.s", "Ss", "sixteenths", "triplets", "notes", "cells", "on",
              "kick", ",", "lead", "left", "right", "at most", "in a row"],
            &["2 of ssss", "3 of s.s. ss", "3 of 8 sixteenths on kick", "3 of 4", "8 sixteenths, lead left, at most 3 in a row",
              "6 notes", "12 cells, at most two in a row"],
        ),
    ) {
        prop_assume!(!is_odd_number(&text));
        series_agree(key, &text)?;
    }

    #[test]
    fn sequences(text in value(
        &["loft", "crumbs", ",", "x3", "×2", "x100", "xy", "three", "times", "ending", "2"],
        &["loft x3, crumbs", "loft three times ending crumbs", "loft x4 ending crumbs, gallop"],
    )) {
        let words: Vec<&str> = text.split_whitespace().collect();
        // A block of the name `times` can't be an ending where it is read by hand.
        prop_assume!(!is_odd_number(&text) && !words.windows(2).any(|w| w == ["ending", "times"]));
        let new = played(Piece { text: &text, start: 3 });
        prop_assert_eq!(new, by_hand::pieces(&text, 3), "{}", text);
    }
}

/// Whether cells fill the gaps of a block as they are read by hand: as a bar of a `play` row.
fn fills(cells: &str) -> bool {
    let text = format!("fill g\n  play s.ss s.ss s.ss s.ss\n\nvariation of g\n  gaps: {cells}\n");
    let source = Source::new("", text);
    let mut diagnostics = Diagnostics::default();
    let document = syntax::parse(&source, &mut diagnostics);
    interpret::build(&source, &document, &mut diagnostics);
    diagnostics.sorted().iter().all(|d| !d.message.contains("is no value"))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1_000, ..cases() })]

    #[test]
    fn cells_that_fill_gaps_are_read(cells in "[skt(),.~'/\\[\\]+:2^=!S-]{1,5}") {
        // A comment, and signs of a bar, are no cells to the one reader.
        prop_assume!(!cells.starts_with("//") && !cells.contains(":2"));
        let read = ChangeLine::read("gaps", Piece { text: &cells, start: 0 });
        if fills(&cells) {
            prop_assert!(matches!(read, Some(Ok(ChangeLine::Gaps(..)))), "{cells}");
        }
    }
}

/// A line of a variation, as the one that is read by hand says it.
fn changes_agree(key: &str, text: &str) -> Result<(), TestCaseError> {
    let kit = Kit::five_piece();
    let found = |words: &[Word]| {
        let words: Vec<&str> = words.iter().map(|w| w.value.as_str()).collect();
        change::instruments(&words.join(" "), &kit)
    };
    let unread = |_: &str| None;
    let old = Change::read(key, text, &kit, &unread);
    let new = ChangeLine::read(key, Piece { text, start: 0 });
    let (new, old) = match (new, old) {
        (None, None) => return Ok(()),
        (Some(new), Some(old)) => (new, old),
        (new, old) => {
            prop_assert!(false, "{key}: {text}: {new:?} {old:?}");
            return Ok(());
        }
    };
    let old_debug = old.as_ref().ok().map(|old| format!("{old:?}"));
    let told = |kind: String| Some(format!("Change({kind})"));
    match new {
        Ok(ChangeLine::Gaps(filling, parts)) => {
            let parts = parts.map(|p| i64::from(p.parts()));
            match filling {
                FillingLine::Grace(notes) => {
                    prop_assert_eq!(old_debug, told(format!("Gaps(Grace({notes}), {parts:?})")));
                }
                // Cells are not read here.
                FillingLine::Diddle | FillingLine::Cells(_) => {
                    prop_assert!(old.is_err_and(|e| e.starts_with("write what goes")));
                }
            }
        }
        Ok(ChangeLine::Taps(taps)) => {
            let kind = match taps {
                TapsLine::Diddle => "Diddle".to_owned(),
                TapsLine::Ghost => "Ghost".to_owned(),
                TapsLine::Grace(notes) => format!("Grace({notes})"),
                TapsLine::Drop => "Drop".to_owned(),
                TapsLine::To(words) => match found(&words) {
                    Ok(ids) => format!("Move({ids:?})"),
                    Err(e) => {
                        prop_assert!(old.is_err_and(|old| old.ends_with(&e)));
                        return Ok(());
                    }
                },
            };
            prop_assert_eq!(old_debug, told(format!("Taps({kind})")));
        }
        Ok(ChangeLine::Accents(accents)) => {
            let kind = match accents {
                AccentsLine::Drop => "AccentsAt(Nowhere)".to_owned(),
                AccentsLine::Only => "Skeleton".to_owned(),
                AccentsLine::Every(n) => format!("AccentsAt(Every({n}))"),
                AccentsLine::On(places) => {
                    let places: Vec<_> = places.iter().map(|p| (p.beat, p.into)).collect();
                    format!("AccentsAt(Counts({places:?}))")
                }
                AccentsLine::To(words) => match found(&words) {
                    Ok(ids) => format!("AccentsTo({ids:?})"),
                    Err(e) => {
                        prop_assert!(old.is_err_and(|old| old.ends_with(&e)));
                        return Ok(());
                    }
                },
            };
            prop_assert_eq!(old_debug, told(kind));
        }
        Ok(ChangeLine::ByHand(hand, words)) => match found(&words) {
            Ok(ids) if ids.len() == 1 => {
                prop_assert_eq!(old_debug, told(format!("ByHand({hand:?}, {:?})", ids[0])));
            }
            Ok(_) => prop_assert!(old.is_err_and(|old| old.starts_with("name one"))),
            Err(e) => prop_assert_eq!(old.err(), Some(e)),
        },
        Ok(ChangeLine::Order(order)) => match order.step {
            None => prop_assert!(old.is_err_and(|old| old.starts_with("after `by`"))),
            Some(step) => match found(&order.drums) {
                Ok(ids) => {
                    let step = match step {
                        OrderStep::Beat => "Beat",
                        OrderStep::Note => "Note",
                        OrderStep::Accent => "Accent",
                    };
                    prop_assert_eq!(old_debug, told(format!("Order({ids:?}, {step})")));
                }
                Err(e) => prop_assert_eq!(old.err(), Some(e)),
            },
        },
        Ok(ChangeLine::Reverse) => prop_assert_eq!(old_debug, told("Reverse".into())),
        Ok(ChangeLine::Lead(hand)) => prop_assert_eq!(old_debug, told(format!("Lead({hand:?})"))),
        Ok(ChangeLine::Stick(sticking)) => match rule_of(sticking) {
            Some(rule) => prop_assert_eq!(old_debug, told(format!("Stick({rule:?})"))),
            None => prop_assert!(old.is_err_and(|old| old.starts_with("a variation keeps"))),
        },
        Ok(ChangeLine::Shift(time)) => prop_assert_eq!(old_debug, told(format!("Shift({time:?})"))),
        Ok(ChangeLine::Rotate(turn)) => {
            let turn = match turn {
                TurnLine::Notes(n) => format!("Notes({n})"),
                TurnLine::Beats(n) => format!("Beats({n})"),
                TurnLine::Time(time) => format!("Time({time:?})"),
            };
            prop_assert_eq!(old_debug, told(format!("Rotate({turn})")));
        }
        Ok(ChangeLine::Backwards) => prop_assert_eq!(old_debug, told("Backwards".into())),
        Ok(ChangeLine::As(one)) => {
            prop_assert_eq!(old_debug, told(format!("As({})", one.parts())));
        }
        Err(wrong) => {
            let start = match wrong {
                WrongChange::Filling => "write what goes".to_owned(),
                WrongChange::FillingParts => "after `in` stands".to_owned(),
                WrongChange::Accents(WrongAccents::Count(word)) => {
                    format!("`{}` is no count", word.value)
                }
                WrongChange::Accents(WrongAccents::CountMissing) => {
                    "write for instance `accents: on".to_owned()
                }
                WrongChange::Accents(WrongAccents::Every) => {
                    "write for instance `accents: every".to_owned()
                }
                WrongChange::Sticking(WrongSticking::Unknown(Some(near))) => {
                    format!("did you mean `{near}`?")
                }
                WrongChange::Sticking(_) => "it may be `natural`".to_owned(),
                WrongChange::Lead => "it may be `right`".to_owned(),
                WrongChange::Shift => "write a note value".to_owned(),
                WrongChange::Rotate => "write how much".to_owned(),
                WrongChange::Backwards => "write `backwards: yes`".to_owned(),
                WrongChange::As => "it may be `quarters`".to_owned(),
            };
            let old = old.err().unwrap_or_default();
            prop_assert!(old.starts_with(&start), "{key}: {text}: {start} but {old}");
        }
    }
    Ok(())
}

/// A line of a series, as the one that is read by hand says it.
fn series_agree(key: &str, text: &str) -> Result<(), TestCaseError> {
    let old = Rule::read(key, text);
    let new = SeriesLine::read(key, Piece { text, start: 0 });
    let (Some(new), Some(old)) = (&new, &old) else {
        prop_assert!(new.is_none() && old.is_none(), "{key}: {text}: {new:?} {old:?}");
        return Ok(());
    };
    match (new, old) {
        (
            Ok(SeriesLine::Accents { count, groups }),
            Ok(Rule::Accents { count: old, groups: written }),
        ) => {
            prop_assert_eq!(count, old);
            let spans: Vec<&str> = groups.iter().map(|g| &text[g.span.start..g.span.end]).collect();
            prop_assert_eq!(&spans, written);
        }
        (
            Ok(SeriesLine::Notes { count, places, drums }),
            Ok(Rule::Notes { count: old, cells, letter, parts }),
        ) => {
            prop_assert_eq!((count, places.count, places.parts), (old, *cells, *parts));
            let kit = Kit::five_piece();
            let words = match drums {
                None => "snare".to_owned(),
                Some(drums) => drums.iter().map(|d| d.value.as_str()).collect::<Vec<_>>().join(" "),
            };
            prop_assert_eq!(change::instruments(&words, &kit), change::instruments(letter, &kit));
        }
        (
            Ok(SeriesLine::Stickings { places, first, run }),
            Ok(Rule::Stickings { notes, left, run: most, parts }),
        ) => {
            prop_assert_eq!((places.count, places.parts, run), (*notes, *parts, most));
            prop_assert_eq!(*first == Hand::Left, *left);
        }
        (Err(WrongSeries::Accents), Err(old)) => prop_assert!(old.contains("`accents: 2 of")),
        (Err(WrongSeries::Notes), Err(old)) => prop_assert!(old.contains("`notes: 3 of")),
        (Err(WrongSeries::Stickings), Err(old)) => prop_assert!(old.contains("`stickings: 8")),
        (new, old) => prop_assert!(false, "{key}: {text}: {new:?} {old:?}"),
    }
    Ok(())
}

#[test]
fn orders_of_a_series_are_no_drums() {
    for (text, order) in [
        ("written", SeriesOrder::Written),
        ("neighbours", SeriesOrder::Neighbours),
        ("easy", SeriesOrder::Easy),
    ] {
        let read = SeriesLine::read("order", Piece { text, start: 0 });
        assert!(matches!(read, Some(Ok(SeriesLine::Order(found))) if found == order));
    }
}
