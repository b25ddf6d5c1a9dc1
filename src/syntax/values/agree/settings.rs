//! Values of keys, marks and rows of a kit.

use super::generate::{cases, ends_twice, is_odd_number, rule_of, value};
use crate::derive::hands::StickRule;
use crate::interpret::{keys, kit_rows, marks, values};
use crate::score::meter::MeterKind;
use crate::score::settings::{Header, Tempo};
use crate::score::{Kit, MarkKind, Meter};
use crate::source::{Diagnostics, Source, Span};
use crate::syntax;
use crate::syntax::tree::{Item, Word};
use crate::syntax::values::kit::{KitAttribute, WrongAttribute};
use crate::syntax::values::mark::{WrittenMark, WrongMark};
use crate::syntax::values::stick::{WrittenSticking, WrongSticking};
use crate::syntax::values::swing::WrittenSwing;
use crate::syntax::values::tempo::WrittenTempo;
use crate::syntax::values::time::TimeSignature;
use crate::syntax::values::{length, list, note, paper, speed};
use proptest::prelude::*;

const NOTE_WORDS: &[&str] = &[
    "quarter",
    "eighth",
    "Eighths",
    "dotted",
    "dotted-",
    "triplet",
    "triplet-",
    "note",
    "notes",
    "half",
    "sixteenth",
    "thirty-second",
    "crotchet",
    "hemidemisemiquaver",
    "s",
    "1",
    "3",
    "8",
    "64",
    "65",
    "/",
    "1/8",
    "=",
    "-",
    ":",
    ".",
    "90",
    "Slowly",
    "\"",
    "one",
    "an",
    "2:1",
    "straight",
    "earlier",
    "later",
    "back",
    "beat",
];
const NOTES: &[&str] = &[
    "dotted quarter",
    "1/8",
    "triplet-eighth",
    "half note",
    "quarter = 80 Slowly",
    "92",
    "92 \"Not fast\"",
    "eighths 3:2",
    "straight",
    "one sixteenth later",
    "3 sixteenths",
    "one beat",
    "12 notes",
    "back one eighth",
];

fn meter_of(time: &TimeSignature) -> Meter {
    let (upper, lower) = (time.upper.clone(), time.lower);
    let kind = match upper.as_slice() {
        [n] if *n > 3 && n % 3 == 0 && lower >= 4 && (lower > 4 || *n <= 12) => MeterKind::Compound,
        [_] => MeterKind::Simple,
        _ => MeterKind::Additive,
    };
    Meter { upper, lower, kind, sign: time.sign }
}

fn tempo_of(tempo: &WrittenTempo, meter: &Meter) -> Tempo {
    let plain = Tempo::for_meter(meter, tempo.per_minute);
    Tempo { unit: tempo.unit.unwrap_or(plain.unit), words: tempo.words.clone(), ..plain }
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn times(text in value(
        &["4", "3", "2", "16", "65", "0", "/", "/", "+", "(", ")", "common", "Cut", "128"],
        &["4/4", "2+2+3/8", "(2+3)/16", "common", "cut", "12 / 8"],
    )) {
        prop_assume!(!text.replace(' ', "").contains("/+"));
        let new = TimeSignature::read(&text).map(|time| meter_of(&time));
        prop_assert_eq!(new, values::meter(&text));
    }

    #[test]
    fn notes(text in value(NOTE_WORDS, NOTES)) {
        prop_assume!(!is_odd_number(&text) && !ends_twice(&text));
        prop_assert_eq!(note::note(&text), values::note(&text));
        prop_assert_eq!(note::modulated(&text), values::modulated(&text));
    }

    #[test]
    fn tempos(text in value(NOTE_WORDS, NOTES)) {
        prop_assume!(!is_odd_number(&text) && !ends_twice(&text));
        let meter = Meter::four_four();
        let new = WrittenTempo::read(&text).map(|tempo| tempo_of(&tempo, &meter));
        prop_assert_eq!(new, values::tempo(&text).map(|tempo| tempo.under(&meter)));
    }

    #[test]
    fn swings(text in value(NOTE_WORDS, NOTES)) {
        prop_assume!(!is_odd_number(&text));
        let new = WrittenSwing::read(&text).map(|swing| match swing {
            WrittenSwing::Straight => None,
            WrittenSwing::Swung(swing) => Some(swing),
        });
        prop_assert_eq!(new, values::swing(&text));
    }

    #[test]
    fn papers_and_lengths(text in value(
        &["a4", "A5", "legal", "landscape", "portrait", "9", "12", "210.5", ".", "x", "×", "in", "inches", "mm", "cm", "100"],
        &["a4", "a5 landscape", "9 x 12 in", "210x297 mm", "7 mm", "0.7 cm", "21 × 29.7 cm portrait"],
    )) {
        prop_assume!(!is_odd_number(&text));
        prop_assert_eq!(paper::paper(&text), values::paper(&text));
        prop_assert_eq!(length::millimetres(&text), values::millimetres(&text));
    }

    #[test]
    fn lists(text in value(
        &["flams", "Flams", "hands", ",", ",", "\"", "“", "a.otf", "é"],
        &["flams, hands", "\"Kettle.otf\", b.otf", "a,b,c,d,e,f,g,h,i,j,k,l,m,n,o,p,q,r,s,t,u"],
    )) {
        prop_assert_eq!(list::files(&text), values::files(&text));
    }

    #[test]
    fn header_keys(
        language in value(&["en", "de", "CH", "-", "x", "12345678"], &["en", "de-CH", "zh-Hant-TW"]),
        tags in value(&["flams", "Flams", "hands", ",", ","], &["flams, hands", ",,"]),
        speed in value(&["8", "8.5", "31", "0.5", "strokes a second", "strokes"], &["8", "8 strokes a second"]),
    ) {
        prop_assume!(!is_odd_number(&speed) && speed.matches("strokes").count() < 2);
        let taken = |key: &str, value: &str| {
            let setting = syntax::tree::Setting {
                key: Word::new(key.to_owned(), Span::default()),
                value: Word::new(value.to_owned(), Span::default()),
            };
            let (mut setup, mut header) = (keys::Setup::default(), Header::default());
            let mut diagnostics = Diagnostics::default();
            setup.take(&[setting], keys::Place::Header, &mut header, &Default::default(), &mut diagnostics);
            (!diagnostics.has_errors()).then_some((setup, header))
        };
        let old = taken("language", &language).and_then(|(_, header)| header.language);
        prop_assert_eq!(list::language(&language).map(str::to_owned), old);
        let old = taken("tags", &tags).map(|(setup, _)| setup.tags.to_vec());
        prop_assert_eq!(list::tags(&tags), old);
        let old = taken("fastest-hand", &speed).map(|(setup, _)| setup.limits.hand);
        prop_assert_eq!(speed::strokes_a_second(&speed), old);
    }

    #[test]
    fn stick_rules(text in value(
        &["natural", "alternate", "Economy", "lead", "written", "left", "right", "both"],
        &["natural", "alternate left", "economy right", "lead left", "written"],
    )) {
        let new = WrittenSticking::read(&text);
        match (&new, StickRule::read(&text)) {
            (Ok(new), Ok(old)) => prop_assert_eq!(rule_of(*new), old),
            (Err(WrongSticking::Hand), Err(old)) => prop_assert!(old.starts_with("it may be")),
            (Err(WrongSticking::Unknown(None)), Err(old)) => prop_assert!(old.starts_with("it may be")),
            (Err(WrongSticking::Unknown(Some(near))), Err(old)) => {
                let start = format!("did you mean `{near}`?");
                prop_assert!(old.starts_with(&start));
            }
            (new, old) => prop_assert!(false, "{text:?}: {new:?} {old:?}"),
        }
    }

    #[test]
    fn mark_words(text in value(
        &["A", "b", "12", "1", "3", ".", ",", "-", "?", "segno", "coda", "Fine", "dc", "D.C.", "al", "ds", "to",
          "new", "line", "swing", "straight", "tempo", "=", "120", "eighth", "triplet-", "quarter", "breath", "capo", "da"],
        &["A", "B12", "1.", "1.-3.", "1.,2.", "dc-al-fine", "D.S. al Coda", "new-line?", "tempo=120", "swing=sixteenths",
          "eighth=dotted-quarter", "caesura", "fermata", "Dal Segno", "tempo=quarter=80", "100.", "3.-1."],
    ), quoted: bool) {
        prop_assume!(!is_odd_number(&text.replace("-", "")) && !ends_twice(&text));
        let meter = Meter::four_four();
        let new = WrittenMark::read(&text, quoted);
        let kind = |mark: &WrittenMark| match mark.clone() {
            WrittenMark::Section(name) => MarkKind::Section(name),
            WrittenMark::Ending(passes) => {
                let passes: Vec<String> = passes.iter().map(u32::to_string).collect();
                MarkKind::Ending(passes.join(", "))
            }
            WrittenMark::Segno => MarkKind::Segno,
            WrittenMark::Coda => MarkKind::Coda,
            WrittenMark::Direction(direction) => MarkKind::Direction(direction.words().to_owned()),
            WrittenMark::Fermata => MarkKind::Fermata,
            WrittenMark::Breath => MarkKind::Breath,
            WrittenMark::Caesura => MarkKind::Caesura,
            WrittenMark::NewLine { asked } => MarkKind::NewLine { asked },
            WrittenMark::Feel(WrittenSwing::Straight) => MarkKind::Straight,
            WrittenMark::Feel(WrittenSwing::Swung(swing)) => MarkKind::Swing(swing),
            WrittenMark::Tempo(tempo) => MarkKind::Tempo(tempo_of(&tempo, &meter)),
            WrittenMark::Modulation { was, now } => MarkKind::Modulation { was, now },
            WrittenMark::Words(words) => MarkKind::Words(words),
        };
        match (&new, marks::read(&text, quoted, &meter)) {
            (Ok(new), Ok(old)) => prop_assert_eq!(kind(new), old),
            (Err(WrongMark::Change), Err(old)) => prop_assert!(old.starts_with("write a new tempo")),
            (Err(WrongMark::Unknown(None)), Err(old)) => prop_assert!(old.starts_with("write a section")),
            (Err(WrongMark::Unknown(Some(near))), Err(old)) => {
                let start = format!("did you mean `{near}`?");
                prop_assert!(old.starts_with(&start));
            }
            (new, old) => prop_assert!(false, "{text:?}: {new:?} {old:?}"),
        }
    }

    #[test]
    fn kit_attributes(text in value(
        &["line", "Space", "above", "below", "sound", "head", "x", "circled-x", "diamond", "hands", "feet",
          "open", "half-open", "closed", "1", "5", "11", "38", "88", "slahs"],
        &["line 4", "space 2", "above 1", "below 10", "head x", "sound 38", "triangle", "feet", "closed"],
    )) {
        prop_assume!(!text.is_empty() && !is_odd_number(&text));
        prop_assume!(!text.contains([',', '/']) && !text.contains('\u{a0}'));
        let line = format!("kit\n  j jam, {text}\n");
        let mut diagnostics = Diagnostics::default();
        let document = syntax::parse(&Source::new("", line), &mut diagnostics);
        prop_assume!(!diagnostics.has_errors());
        let Some(Item::Block(block)) = document.items.first() else { return Ok(()) };
        let kit = kit_rows::changed(&Kit::five_piece(), block, &mut diagnostics);
        let blank = kit_rows::changed(
            &Kit::five_piece(),
            &block_of("kit\n  j jam, line 1\n"),
            &mut Diagnostics::default(),
        );
        let (Some(old), Some(base)) = (kit.instruments.last(), blank.instruments.last()) else { return Ok(()) };
        let fault = diagnostics.sorted().first().and_then(|d| d.mend.clone());
        match KitAttribute::read(&text) {
            Ok(new) => {
                let mut made = base.clone();
                (made.position, made.one_line) = (1, 0);
                match new {
                    KitAttribute::Position(position) => {
                        made.position = position;
                        made.one_line = ((position - 1) / 2).clamp(-3, 3);
                    }
                    KitAttribute::Sound(key) => made.key = key,
                    KitAttribute::Head(head) => made.head = head,
                    KitAttribute::Limb(limb) => made.limb = limb,
                    KitAttribute::Opening(opening) => made.opening = Some(opening),
                }
                prop_assert_eq!(fault, None, "{}", text);
                prop_assert_eq!(&made, old, "{}", text);
            }
            Err(wrong) => {
                let fault = fault.unwrap_or_default();
                match wrong {
                    WrongAttribute::Joined => prop_assert!(fault.starts_with("separate"), "{text}"),
                    WrongAttribute::Range { word, range } => {
                        let (from, to) = (range.start(), range.end());
                        let mend = format!("write `{word}` with a number from {from} to {to}");
                        prop_assert_eq!(fault, mend);
                    }
                    WrongAttribute::Unknown(Some(near)) => {
                        let start = format!("did you mean `{near}`?");
                        prop_assert!(fault.starts_with(&start), "{text}");
                    }
                    WrongAttribute::Unknown(None) => prop_assert!(fault.starts_with("it may"), "{text}"),
                }
            }
        }
    }
}

fn block_of(text: &str) -> syntax::tree::Block {
    let document = syntax::parse(&Source::new("", text), &mut Diagnostics::default());
    match document.items.into_iter().next() {
        Some(Item::Block(block)) => block,
        other => panic!("{other:?}"),
    }
}
