//! What the score takes from outside: the percussion map, the drumset key, counting systems, and
//! facts of the trade.

use super::read;
use flamacue::score::kit::{Head, Kit, Limb, Opening};
use flamacue::score::meter::MeterKind;
use flamacue::score::{Bar, Block, Item, Time};

fn block(text: &str) -> Block {
    let (score, diagnostics, source) = read(text);
    assert!(!diagnostics.has_errors(), "{}", super::found(&diagnostics, &source));
    score
        .items
        .into_iter()
        .find_map(|item| match item {
            Item::Block(block) => Some(Block::clone(&block)),
            _ => None,
        })
        .unwrap()
}

fn bar(text: &str) -> Bar {
    block(text).part.bars.remove(0)
}

fn counts(text: &str) -> String {
    let bar = bar(text);
    let words: Vec<&str> = bar.counts.iter().map(|s| s.text.as_str()).collect();
    words.join(" ")
}

/// General MIDI System Level 1, percussion key map (MIDI Manufacturers Association, 1991), from
/// memory.
#[test]
fn sounds_are_those_of_general_midi() {
    let map = [
        ("kick", 36),        // Bass Drum 1
        ("cross-stick", 37), // Side Stick
        ("snare", 38),       // Acoustic Snare
        ("hat", 42),         // Closed Hi-Hat
        ("floor", 43),       // High Floor Tom
        ("foot-hat", 44),    // Pedal Hi-Hat
        ("open-hat", 46),    // Open Hi-Hat
        ("tom2", 47),        // Low-Mid Tom
        ("crash", 49),       // Crash Cymbal 1
        ("tom1", 50),        // High Tom
        ("ride", 51),        // Ride Cymbal 1
        ("china", 52),       // Chinese Cymbal
        ("bell", 53),        // Ride Bell
        ("splash", 55),      // Splash Cymbal
        ("cowbell", 56),     // Cowbell
        ("crash2", 57),      // Crash Cymbal 2
    ];
    let kit = Kit::five_piece();
    for (name, key) in map {
        assert_eq!(kit.get(kit.by_name(name).unwrap()).unwrap().sound, key, "{name}");
    }
}

/// Norman Weinberg, *Guide to Standardized Drumset Notation* (Percussive Arts Society, 1998), from
/// memory. Steps from the middle line.
#[test]
fn drums_stand_where_drummers_look_for_them() {
    let places = [
        ("kick", -3, Head::Normal),  // lowest space
        ("floor", -1, Head::Normal), // second space
        ("snare", 1, Head::Normal),  // third space
        ("tom2", 2, Head::Normal),   // fourth line
        ("tom1", 3, Head::Normal),   // fourth space
        ("ride", 4, Head::X),        // top line
        ("hat", 5, Head::X),         // above the staff
        ("crash", 6, Head::X),       // first ledger line
        ("foot-hat", -5, Head::X),   // below the staff
    ];
    let kit = Kit::five_piece();
    for (name, position, head) in places {
        let instrument = kit.get(kit.by_name(name).unwrap()).unwrap();
        assert_eq!((instrument.position, instrument.head), (position, head), "{name}");
    }
}

/// Common practice, no source: kick and hi-hat pedal are played with the feet, all else with the
/// hands; no two instruments share a place and a head, but for the openings of the hi-hat.
#[test]
fn the_kit_can_be_told_apart() {
    let kit = Kit::five_piece();
    for (index, a) in kit.instruments.iter().enumerate() {
        let foot = a.name == "kick" || a.name == "foot-hat";
        assert_eq!(a.limb == Limb::Feet, foot, "{}", a.name);
        for b in &kit.instruments[index + 1..] {
            let same = (a.position, a.head, a.opening) == (b.position, b.head, b.opening);
            assert!(!same, "{} and {} look alike", a.name, b.name);
            assert!(a.letter != b.letter, "{} and {} share a letter", a.name, b.name);
        }
    }
    let open = kit.get(kit.by_letter('o').unwrap()).unwrap();
    assert_eq!(open.opening, Some(Opening::Open));
}

/// Common practice, no source.
#[test]
fn sixteenths_and_triplets_are_counted_as_everybody_says() {
    assert_eq!(counts("\nexercise\n  play ssss sss s.s. s\n"), "1 e & a 2 trip let 3 & 4");
    assert_eq!(counts("time: 6/8\n\nexercise\n  play sss ssssss\n"), "1 2 3 4 & 5 & 6 &");
    assert_eq!(
        counts("time: 12/8\ncompound: beats\n\nexercise\n  play sss s.s s.. sss\n"),
        "1 & a 2 a 3 4 & a"
    );
    assert_eq!(counts("\nexercise\n  play sssssss sssss s s\n"), "1 2 3 4 5 6 7 2 2 3 4 5 3 4");
    assert_eq!(counts("\nexercise\n  play ssssssss s s s\n"), "1 e & a 2 3 4");
}

/// Richard Hoffman, William Pelto and John W. White, *Takadimi: A Beat-Oriented System of Rhythm
/// Pedagogy*, Journal of Music Theory Pedagogy 10 (1996), from memory.
#[test]
fn takadimi_names_places_in_the_beat() {
    let head = "counting: takadimi\n";
    assert_eq!(
        counts(&format!("{head}\nexercise\n  play ssss ss sss s\n")),
        "ta ka di mi ta di ta ki da ta"
    );
    assert_eq!(
        counts(&format!("{head}time: 6/8\n\nexercise\n  play sss ssssss\n")),
        "ta ki da ta va ki di da ma"
    );
    assert_eq!(counts(&format!("{head}time: 6/8\n\nexercise\n  play ss s\n")), "ta di ta");
}

/// Elaine Gould, *Behind Bars* (2011), on simple and compound time, from memory: an upper number
/// that three divides, other than three itself, counts dotted beats.
#[test]
fn compound_time_counts_dotted_beats() {
    for (time, kind, beats) in [
        ("6/8", MeterKind::Compound, 2),
        ("9/8", MeterKind::Compound, 3),
        ("12/8", MeterKind::Compound, 4),
        ("15/16", MeterKind::Compound, 5),
        ("6/4", MeterKind::Compound, 2),
        ("3/8", MeterKind::Simple, 3),
        ("3/4", MeterKind::Simple, 3),
        ("7/8", MeterKind::Simple, 7),
        ("6/2", MeterKind::Simple, 6),
        ("2+2+3/8", MeterKind::Additive, 3),
    ] {
        let rests = ". ".repeat(beats);
        let bar = bar(&format!("time: {time}\n\nexercise\n  play {rests}\n"));
        assert_eq!(bar.meter.kind, kind, "{time}");
        assert_eq!(bar.meter.beats().len(), beats, "{time}");
    }
}

/// Common practice, no source: a shuffle's middle triplet note is left out, so its beat has three
/// parts; the same two notes in the first and last place of six have three parts too.
#[test]
fn a_shuffle_is_a_triplet_however_it_is_written() {
    let three = bar("\nexercise\n  play s.s s.s s.s s.s\n").without_spans();
    let six = bar("\nexercise\n  play s...s. s...s. s...s. s...s.\n").without_spans();
    assert_eq!(three, six);
    assert!(three.upper.divisions.iter().all(|d| d.parts == 3 && d.length == Time::QUARTER));
}

/// ISO 216: A4 is 210 by 297 mm, A5 is 148 by 210 mm.
#[test]
fn paper_has_its_standard_sizes() {
    for (name, width, height) in
        [("a4", 210.0, 297.0), ("a5", 148.0, 210.0), ("9 x 12 in", 228.6, 304.8)]
    {
        let (score, ..) = read(&format!("page: {name}\n"));
        assert!((score.header.paper.width - width).abs() < 0.01, "{name}");
        assert!((score.header.paper.height - height).abs() < 0.01, "{name}");
    }
}

/// The fill that is counted and the fill from the grid, as the language promises, are one bar.
#[test]
fn gallop_is_gallop() {
    let files = |name: &str| {
        let path = format!("{}/tests/suite/score/{name}.flam", env!("CARGO_MANIFEST_DIR"));
        block(&std::fs::read_to_string(path).unwrap()).part.bars.remove(0).without_spans()
    };
    assert_eq!(files("gallop-count"), files("gallop-grid"));
}

/// What a cymbal is struck for decides how many voices its bar is set in, not which sound it has.
#[test]
fn another_sound_does_not_change_the_engraving() {
    let text = |sound: u8| {
        format!("kit\n  c crash, sound {sound}\n\nfill\n  play s.ss s.ss ss.s ss+k. | c+k! . . .\n")
    };
    let music = |sound: u8| block(&text(sound)).part.bars;
    assert_eq!(music(49), music(76));
}
