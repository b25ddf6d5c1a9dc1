//! What holds of every rhythm.

use super::{check, read};
use flamacue::interpret::counting::{
    CompoundCount, Counter, CountingSystem, CountingSystems, OddCount,
};
use flamacue::score::{Bar, Item, Meter, Time};
use proptest::prelude::*;
use std::sync::{Arc, LazyLock};

/// The bars of the only block of a text, which must have no faults.
fn bars(text: &str) -> Vec<Bar> {
    let (score, diagnostics, source) = read(text);
    let found = super::found(&diagnostics, &source);
    assert!(!diagnostics.has_errors(), "{text}\n{found}");
    check::score(&score, false);
    let block = score.items.into_iter().find_map(|item| match item {
        Item::Block(block) => Some(block),
        _ => None,
    });
    block.unwrap().part.bars.clone()
}

/// The texts of the suite, in the order of their names.
fn suite() -> &'static [String] {
    static TEXTS: LazyLock<Vec<String>> = LazyLock::new(|| {
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/suite/score");
        let entries = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
        let mut paths: Vec<_> = entries.collect();
        paths.sort();
        paths.iter().map(|path| std::fs::read_to_string(path).unwrap()).collect()
    });
    &TEXTS
}

fn plain(bar: &Bar) -> Bar {
    bar.clone().without_spans()
}

/// Which cells of a beat are struck.
type Beat = Vec<bool>;

fn beat(most: usize) -> impl Strategy<Value = Beat> {
    (1..=most).prop_flat_map(|parts| proptest::collection::vec(any::<bool>(), parts))
}

/// A `play` row of snare hits.
fn grid(beats: &[Beat]) -> String {
    let group = |beat: &Beat| beat.iter().map(|hit| if *hit { 's' } else { '.' }).collect();
    let groups: Vec<String> = beats.iter().map(group).collect();
    groups.join(" ")
}

fn counter(meter: &Meter, name: &str, compound: CompoundCount, odd: OddCount) -> Counter {
    let system: Arc<CountingSystem> = CountingSystems::default().get(name).unwrap();
    Counter::new(system, meter, Some(compound), Some(odd))
}

fn spelled(bar: &Bar, counter: &Counter) -> Option<String> {
    counter.spell_row([&bar.upper, &bar.lower], bar.offset, bar.length)
}

/// A time signature, its beats, and keys for the file's head.
fn meters() -> impl Strategy<Value = (&'static str, usize)> {
    prop_oneof![
        Just(("4/4", 4)),
        Just(("3/4", 3)),
        Just(("5/4", 5)),
        Just(("cut", 2)),
        Just(("6/8", 2)),
        Just(("12/8", 4)),
        Just(("7/8", 7)),
        Just(("2+2+3/8", 3)),
    ]
}

proptest! {
    /// Every rhythm that has a count row is read back from it, and its row is spelled again.
    #[test]
    fn counting_is_its_own_inverse(
        ((meter, _), beats) in meters()
            .prop_flat_map(|m| (Just(m), proptest::collection::vec(beat(8), m.1))),
        system in prop_oneof![Just("numbers"), Just("takadimi")],
        by_beat in any::<bool>(),
        groups in any::<bool>(),
    ) {
        let (compound, way) = if by_beat { (CompoundCount::Beats, "beats") } else { (CompoundCount::Eighths, "eighths") };
        let (odd, odd_way) = if groups { (OddCount::Groups, "groups") } else { (OddCount::Through, "through") };
        let head = format!("time: {meter}\ncounting: {system}\ncompound: {way}\nodd: {odd_way}\n\nexercise\n  ");
        let written = bars(&format!("{head}play {}\n", grid(&beats)));
        let counter = counter(&written[0].meter, system, compound, odd);
        if let Some(row) = spelled(&written[0], &counter) {
            // A silent bar has an empty count row, which no file can hold.
            prop_assume!(!row.is_empty());
            let counted = bars(&format!("{head}count {row}\n"));
            prop_assert_eq!(&plain(&counted[0]).upper.hits, &plain(&written[0]).upper.hits);
            prop_assert_eq!(spelled(&counted[0], &counter), Some(row));
        }
    }

    /// Where every beat is struck, a plain bar always has a count row.
    #[test]
    fn full_bars_can_be_counted(beats in proptest::collection::vec(beat(7), 4)) {
        let beats: Vec<Beat> =
            beats.into_iter().map(|mut beat| { beat[0] = true; beat }).collect();
        let written = bars(&format!("\nexercise\n  play {}\n", grid(&beats)));
        let counter =
            counter(&written[0].meter, "numbers", CompoundCount::Eighths, OddCount::Through);
        prop_assert!(spelled(&written[0], &counter).is_some());
    }

    /// The same bar from its count and from the grid is the same bar.
    #[test]
    fn count_first_is_grid_first(
        beats in proptest::collection::vec(beat(7), 4),
        letters in proptest::collection::vec(
            prop_oneof![Just("s"), Just("T"), Just("'m"), Just("(s)"), Just("k"), Just("c+k"), Just("c!")],
            28,
        ),
        all in any::<bool>(),
    ) {
        let mut letters = letters.into_iter().cycle();
        let mut placed = Vec::new();
        let mut groups = Vec::new();
        for beat in &beats {
            let mut group = String::new();
            for hit in beat {
                let cell = if *hit { letters.next().unwrap() } else { "." };
                if *hit {
                    placed.push(cell);
                }
                group.push_str(cell);
            }
            groups.push(group);
        }
        let head = format!("counts: {}\n\nfill\n  ", if all { "all" } else { "played" });
        let written = bars(&format!("{head}play {}\n", groups.join(" ")));
        let counter =
            counter(&written[0].meter, "numbers", CompoundCount::Eighths, OddCount::Through);
        if let Some(row) = spelled(&written[0], &counter) {
            prop_assume!(!row.is_empty());
            let counted = bars(&format!("{head}count {row}\n  play {}\n", placed.join(" ")));
            prop_assert_eq!(plain(&counted[0]), plain(&written[0]));
        }
    }

    /// A row of letters and a row for each instrument are the same bar.
    #[test]
    fn letters_or_rows_are_one(
        beats in proptest::collection::vec(proptest::collection::vec(0u8..8, 1..=8), 4),
        word in prop_oneof![Just("groove"), Just("fill")],
    ) {
        // Three bits for each cell: snare, kick, hat.
        let group = |beat: &Vec<u8>, struck: &dyn Fn(u8) -> String| -> String {
            beat.iter().map(|cell| struck(*cell)).collect()
        };
        let row = |struck: &dyn Fn(u8) -> String| -> String {
            let groups: Vec<String> = beats.iter().map(|beat| group(beat, struck)).collect();
            groups.join(" ")
        };
        let letters = |cell: u8| -> String {
            let names = ["s", "k", "h"];
            let struck: Vec<&str> =
                (0..3).filter(|bit| cell & (1 << bit) != 0).map(|bit| names[bit]).collect();
            if struck.is_empty() { ".".to_owned() } else { struck.join("+") }
        };
        let one = |bit: u8| row(&move |cell| if cell & (1 << bit) != 0 { "x" } else { "." }.to_owned());
        let together = bars(&format!("\n{word}\n  play {}\n", row(&letters)));
        let apart = bars(&format!(
            "\n{word}\n  hat {}\n  snare {}\n  kick {}\n",
            one(2), one(0), one(1)
        ));
        prop_assert_eq!(plain(&apart[0]), plain(&together[0]));
    }

    /// A bar written `%` has the notes of the bar before.
    #[test]
    fn repeated_bars_are_copies(beats in proptest::collection::vec(beat(8), 4)) {
        let row = grid(&beats);
        let written = bars(&format!("\nfill\n  play {row} | {row}\n"));
        let repeated = bars(&format!("\nfill\n  play {row} | %\n"));
        let mut second = plain(&repeated[1]);
        prop_assert!(second.again.is_some());
        second.again = None;
        prop_assert_eq!(second, plain(&written[1]));
    }

    /// Letters go to the struck hits in order, whatever the rhythm.
    #[test]
    fn letters_follow_the_hits(beats in proptest::collection::vec(beat(6), 4), left in any::<bool>()) {
        let hits = beats.iter().flatten().filter(|hit| **hit).count();
        prop_assume!(hits > 0);
        let hands = if left { ["L", "R"] } else { ["R", "L"] };
        let letters: Vec<&str> = hands.into_iter().cycle().take(hits).collect();
        let bar = bars(&format!(
            "\nfill\n  play {}\n  stick {}\n",
            grid(&beats),
            letters.join(" ")
        ))
        .remove(0);
        let times: Vec<Time> = bar.upper.hits.iter().map(|hit| hit.at).collect();
        let placed: Vec<Time> = bar.sticking.iter().map(|letter| letter.at).collect();
        prop_assert_eq!(times, placed);
    }

    /// A bar is taken exactly where its groups add up to it.
    #[test]
    fn bars_add_up(groups in proptest::collection::vec((1u32..=6, 1u32..=4), 1..8)) {
        let row: Vec<String> =
            groups.iter().map(|(cells, spread)| format!("{}:{spread}/2", "s".repeat(*cells as usize))).collect();
        let (score, diagnostics, _) = read(&format!("\nexercise\n  play {}\n", row.join(" ")));
        let halves: u32 = groups.iter().map(|(_, spread)| spread).sum();
        prop_assert_eq!(!diagnostics.has_errors(), halves == 8);
        check::score(&score, diagnostics.has_errors());
    }

    /// Rows of any cells keep the promises of the score, faults or not.
    #[test]
    fn any_cells_keep_the_promises(
        rows in proptest::collection::vec("[x.g_\\-X]{1,6}(:1/3|:2/3|:2)?( \\[[x.]{1,4}\\][x.\\-]{0,3}| [x.'_\\-]{1,5}){0,4}( \\|( [x\\-_.]{1,4}){4})?", 1..4),
        word in prop_oneof![Just("groove"), Just("fill")],
        rests in prop_oneof![Just("short"), Just("full")],
        time in prop_oneof![Just("4/4"), Just("6/8"), Just("2+3/8")],
    ) {
        let names = ["snare", "hat", "kick"];
        let rows: Vec<String> =
            rows.iter().zip(names).map(|(row, name)| format!("  {name} {row}\n")).collect();
        let text = format!("\n{word}\n  rests: {rests}\n  time: {time}\n{}", rows.concat());
        let (score, diagnostics, _) = read(&text);
        check::score(&score, diagnostics.has_errors());
    }

    /// Nothing that is written breaks anything.
    #[test]
    fn damaged_files_are_only_faulty(
        file in 0usize..64,
        edits in proptest::collection::vec((any::<prop::sample::Index>(), "[ -~|.\n]{0,3}"), 1..6),
    ) {
        let files = suite();
        let mut text = files[file % files.len()].clone();
        for (at, put) in edits {
            let places: Vec<usize> = text.char_indices().map(|(at, _)| at).collect();
            if places.is_empty() { break }
            let place = places[at.index(places.len())];
            let next = text[place..].chars().next().map_or(0, char::len_utf8);
            text.replace_range(place..place + next, &put);
        }
        let (score, diagnostics, source) = read(&text);
        check::score(&score, diagnostics.has_errors());
        for d in diagnostics.sorted() {
            prop_assert!(d.span.start() <= d.span.end() && d.span.end() <= text.len());
            prop_assert!(d.span.start() == d.span.end() || !source.slice(d.span).is_empty());
        }
    }
}

/// Of players with bars more and fewer, all have as many as the one with the fewest; what one of them ties over to
/// a bar that is gone ends.
#[test]
fn what_is_tied_to_a_bar_that_is_cut_ends() {
    let long = "  player \"Ada\"\n    play  f--- | ---s | ssss\n";
    let short = "  player \"Bo\"\n    play  ssss\n";
    for rows in [[long, short], [short, long]] {
        let text = format!("\nexercise\n  time: 1/4\n{}", rows.concat());
        let (score, diagnostics, _) = read(&text);
        assert!(diagnostics.has_errors());
        let bars = score.blocks_once().map(|block| block.part.bars.len());
        assert_eq!(bars.collect::<Vec<_>>(), [1], "{text}");
        check::score(&score, true);
    }
}

/// Long rows take a time that grows with their length alone.
#[test]
fn long_rows_are_read_in_time() {
    let long = "s.s. ".repeat(15_000);
    let bars = "s s s s | ".repeat(9_000);
    let same = format!("ssss ssss ssss ssss {}", "| % ".repeat(9_000));
    let start = std::time::Instant::now();
    for row in [long, bars, same] {
        let (score, diagnostics, _) = read(&format!("\nexercise\n  play {row}\n"));
        check::score(&score, diagnostics.has_errors());
    }
    assert!(start.elapsed().as_secs() < 60, "{:?}", start.elapsed());
}

#[test]
fn counting_takes_the_whole_bar() {
    let meter = Meter::four_four();
    let counter = Counter::new(Arc::new(CountingSystem::numbers()), &meter, None, None);
    let lengths: Vec<Time> = counter.beats().iter().map(|b| b.length).collect();
    assert_eq!(lengths.into_iter().sum::<Time>(), meter.length());
}

/// A cell of a group over a barline that is divided again fills several parts of what is left in its bar; so it does
/// in what is made of it, and where the bar after it is faulty.
#[test]
fn a_cell_of_a_group_over_a_barline_may_fill_several_parts() {
    let nested = "play  s s s [sss]t|f:2 s s s";
    let over = "play  s s s st|ttt:3 s s\n  hi-hat  xxxx xxxx xxxx xxxx | xxxx xxxx xxxx xxxx";
    let cut = "play  s s s st|f:2\n s s | s s s Stt|mf:2 F s s";
    for (rows, faulty) in [(nested, false), (over, false), (cut, true)] {
        for change in ["taps: ghost", "taps: drag", "sticking: natural", "accents: none"] {
            let text = format!("exercise three\n  {rows}\n\nvariation of three\n  {change}\n");
            let (score, diagnostics, _) = read(&text);
            assert_eq!(diagnostics.has_errors(), faulty, "{text}");
            check::score(&score, faulty);
        }
    }
}
