//! Laws that hold for every phrase.

use super::apply::apply;
use super::cells::Finder;
use super::phrase::{LimbNote, Phrase};
use super::{backwards, gaps, hands, strokes, text, time};
use crate::interpret::counting::CountingSystems;
use crate::interpret::request::{Change, Surroundings, Taps};
use crate::interpret::setup::Setup;
use crate::score::kit::Limb;
use crate::score::settings::{StickRule, Way};
use crate::score::{Hand, Item, Kit, Time};
use crate::source::{Diagnostics, Source};
use crate::syntax::Piece;
use proptest::prelude::*;
use std::sync::Arc;

/// What holds where nothing is said.
fn around() -> Surroundings {
    let (systems, kit) = (Arc::new(CountingSystems::default()), Arc::new(Kit::five_piece()));
    Surroundings { setup: Arc::new(Setup::default()), systems, kit, kits: Arc::default() }
}

/// The phrase of a row of cells.
fn phrase(rows: &str) -> Option<Phrase> {
    let source = Source::new("law", format!("exercise\n{rows}"));
    let mut reported = Diagnostics::default();
    let score = crate::read(&source, &mut reported)?;
    score.items.iter().find_map(|item| match item {
        Item::Block(block) => Phrase::of(&block.part, &Kit::five_piece()).ok(),
        _ => None,
    })
}

fn cell() -> impl Strategy<Value = &'static str> {
    prop::sample::select(vec![
        "s", "S", ".", ".", "t", "'s", "(s)", "s/", "k", "C+k", "m", "F", "''T", "[ss]", "[s.s]",
    ])
}

fn beat() -> impl Strategy<Value = String> {
    (1usize..7).prop_flat_map(|n| prop::collection::vec(cell(), n).prop_map(|cells| cells.concat()))
}

/// One or two bars of 4/4 with at least one note.
fn bars() -> impl Strategy<Value = Phrase> {
    (1usize..3).prop_flat_map(|n| prop::collection::vec(beat(), 4 * n)).prop_filter_map(
        "a phrase with notes",
        |beats| {
            let bars: Vec<String> = beats.chunks(4).map(|bar| bar.join(" ")).collect();
            let mut phrase = phrase(&format!("  play {}\n", bars.join(" | ")))?;
            let turns = StickRule { way: Way::Alternate, first: Hand::Right };
            hands::stick(&mut phrase, &Kit::five_piece(), turns);
            (!phrase.notes.is_empty()).then_some(phrase)
        },
    )
}

fn starts(phrase: &Phrase) -> usize {
    let mut starts: Vec<Time> = phrase.notes.iter().map(|n| n.at).collect();
    starts.dedup();
    starts.len()
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(48) })]

    #[test]
    fn turning_by_the_whole_changes_nothing(phrase in bars()) {
        let mut turned = phrase.clone();
        time::rotate_notes(&mut turned, starts(&phrase) as i64);
        prop_assert_eq!(&turned.notes, &phrase.notes);
        time::shift(&mut turned, phrase.length());
        prop_assert_eq!(&turned.notes, &phrase.notes);
    }

    #[test]
    fn turning_note_by_note_comes_round(mut phrase in bars()) {
        let lead_in = phrase.notes[0].at;
        time::shift(&mut phrase, Time::ZERO - lead_in);
        let mut turned = phrase.clone();
        for _ in 0..starts(&phrase) {
            time::rotate_notes(&mut turned, 1);
        }
        prop_assert_eq!(&turned.notes, &phrase.notes);
    }

    #[test]
    fn shifting_there_and_back_changes_nothing(phrase in bars(), n in -40i64..40, d in 1i64..33) {
        let mut shifted = phrase.clone();
        time::shift(&mut shifted, Time::new(n, d));
        time::shift(&mut shifted, Time::new(-n, d));
        prop_assert_eq!(&shifted.notes, &phrase.notes);
    }

    #[test]
    fn backwards_twice_is_forwards(phrase in bars()) {
        let mut turned = phrase.clone();
        backwards::reverse(&mut turned);
        prop_assert_eq!(turned.length(), phrase.length());
        // The same for one who reads what was made.
        if let Ok(rows) = text::rows(&turned, &Kit::five_piece(), false, &mut Finder::default()) {
            let text: String = rows.iter().map(|r| format!("  {r}\n")).collect();
            let mut read = self::phrase(&text).expect("a phrase");
            backwards::reverse(&mut read);
            prop_assert_eq!(&read.notes, &phrase.notes, "{}\n{:?}", text, text::rows(&phrase, &Kit::five_piece(), false, &mut Finder::default()));
        }
        backwards::reverse(&mut turned);
        prop_assert_eq!(&turned.notes, &phrase.notes);
        prop_assert_eq!(&turned.spans, &phrase.spans);
    }

    #[test]
    fn backwards_keeps_every_note(phrase in bars()) {
        let mut turned = phrase.clone();
        backwards::reverse(&mut turned);
        let starts = |phrase: &Phrase| {
            let mut all: Vec<_> = phrase.notes.iter().map(|n| (n.at, n.limb)).collect();
            all.dedup();
            all.len()
        };
        prop_assert_eq!(starts(&turned), starts(&phrase));
        prop_assert!(turned.notes.iter().all(|n| n.at >= Time::ZERO && n.at < turned.length()));
    }

    #[test]
    fn the_other_hand_twice_is_the_first(phrase in bars()) {
        let mut turned = phrase.clone();
        strokes::reverse_sticking(&mut turned);
        if strokes::lead(&phrase).is_some() {
            prop_assert_ne!(strokes::lead(&turned), strokes::lead(&phrase));
        }
        strokes::reverse_sticking(&mut turned);
        prop_assert_eq!(&turned.notes, &phrase.notes);
    }

    #[test]
    fn filled_gaps_leave_the_written_notes_alone(phrase in bars()) {
        let kick = Kit::five_piece().by_name("kick").unwrap();
        let filling = [
            LimbNote::plain(Time::ZERO, kick, Limb::Feet),
            LimbNote::plain(Time::new(1, 8), kick, Limb::Feet),
        ];
        let mut filled = phrase.clone();
        let grid = gaps::felt(&phrase);
        let gaps = gaps::find(&phrase, &grid);
        let count = gaps::fill(&mut filled, &gaps, &filling);
        prop_assert_eq!(filled.notes.len(), phrase.notes.len() + 2 * count);
        prop_assert!(phrase.notes.iter().all(|n| filled.notes.contains(n)));
        prop_assert_eq!(filled.length(), phrase.length());
        prop_assert!(gaps::find(&filled, &grid).is_empty());
    }

    #[test]
    fn doubled_taps_keep_the_bars(phrase in bars()) {
        let mut doubled = phrase.clone();
        strokes::taps(&mut doubled, &Taps::Diddle, &Kit::five_piece());
        prop_assert_eq!(&doubled.bars, &phrase.bars);
        let times = |p: &Phrase| p.notes.iter().map(|n| n.at).collect::<Vec<_>>();
        prop_assert_eq!(times(&doubled), times(&phrase));
        // As long whatever stands after them: one length in beats that are divided alike.
        let mut lengths = std::collections::BTreeSet::new();
        for note in doubled.hands().filter(|n| n.strokes == 1 && n.is_tap()) {
            let span = doubled.span_at(note.at).and_then(|i| doubled.spans.get(i));
            let plain = span.is_some_and(|span| span.parts.count_ones() == 1 && span.parts <= 8);
            lengths.extend(note.until.filter(|_| plain).map(|until| until - note.at));
        }
        let plain = doubled.spans.iter().all(|span| span.parts.count_ones() == 1 && span.parts <= 8);
        prop_assert!(lengths.len() <= 1 || !plain, "{:?}", lengths);
    }

    #[test]
    fn another_subdivision_keeps_every_note_and_meets_the_barline(phrase in bars(), parts in 1i64..9) {
        let mut laid = phrase.clone();
        if let Ok(times) = time::subdivide(&mut laid, parts) {
            prop_assert_eq!(laid.notes.len(), phrase.notes.len() * times);
            prop_assert!(laid.notes.iter().all(|n| n.at < laid.length()));
            let whole: Time = laid.bars.iter().map(|b| b.length).sum();
            prop_assert_eq!(laid.length(), whole);
        }
    }

    /// What is written reads as the phrase it was written from.
    #[test]
    fn rows_say_what_the_phrase_is(phrase in bars()) {
        let rows = text::rows(&phrase, &Kit::five_piece(), false, &mut Finder::default());
        prop_assume!(rows.is_ok());
        let text: String = rows.unwrap_or_default().iter().map(|r| format!("  {r}\n")).collect();
        let read = self::phrase(&text);
        prop_assert!(read.is_some(), "{}", text);
        let read = read.unwrap();
        prop_assert_eq!(read.notes, phrase.notes, "{}", text);
    }

    /// No line of a variation stops the program, whatever it says.
    #[test]
    fn any_line_is_taken_or_refused(key in "(gaps|taps|accents|right|order|sticking|lead|shift|rotate|as)", value in "[a-z0-9 &/+()']{0,16}", phrase in bars()) {
        let around = around();
        if let Some(Ok(change)) = Change::read(&key, Piece { text: &value, start: 0 }, &around.kit) {
            let mut changed = phrase.clone();
            let length = changed.length();
            if apply(&change, &mut changed, &around).is_ok() && key != "as" {
                prop_assert_eq!(changed.length(), length);
            }
        }
    }
}
