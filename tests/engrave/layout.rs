//! Alignment and spacing over generated bars.

use crate::generated;
use crate::picture::{Picture, Seen};
use flamacue::drawing::Kind;
use std::collections::BTreeMap;

/// Blocks from seeds.
fn blocks(seeds: std::ops::Range<u64>) -> Vec<(u64, Picture)> {
    seeds
        .flat_map(|seed| {
            Picture::all(&generated::file(seed, 4, 2)).into_iter().map(move |p| (seed, p))
        })
        .collect()
}

#[test]
fn every_count_and_letter_is_centred_on_its_note() {
    let mut checked = 0;
    for (seed, block) in blocks(1000..1060) {
        let notes: Vec<f64> = block
            .marks
            .iter()
            .filter(|m| matches!(m.kind, Kind::Notehead | Kind::Rest))
            .map(Seen::centre)
            .collect();
        // A silent syllable, printed lighter, has no note to stand under.
        for word in block.marks.iter().filter(|m| !m.grey) {
            let capital = word.name.chars().all(char::is_uppercase);
            if !(word.kind == Kind::Count || word.kind == Kind::Sticking && capital) {
                continue;
            }
            let off = notes.iter().map(|x| (x - word.centre()).abs()).fold(f64::MAX, f64::min);
            assert!(off < 0.05, "seed {seed}: {} is {off:.3} sp off", word.name);
            checked += 1;
        }
    }
    assert!(checked > 3000, "{checked}");
}

#[test]
fn each_row_has_one_baseline_in_a_line() {
    let mut compared = 0;
    for (seed, block) in blocks(1060..1120) {
        // Letters of the other hand, in brackets, are a row of their own.
        let mut rows: BTreeMap<(usize, Kind, bool), Vec<f64>> = BTreeMap::new();
        for mark in &block.marks {
            if matches!(mark.kind, Kind::Count | Kind::Sticking | Kind::Dynamic) {
                let other = mark.name.starts_with('(');
                rows.entry((mark.line, mark.kind, other)).or_default().push(mark.origin.1);
            }
        }
        for ((_, kind, _), baselines) in rows {
            let first = baselines[0];
            compared += baselines.len() - 1;
            assert!(baselines.iter().all(|y| (y - first).abs() < 1e-6), "seed {seed}: {kind:?}");
        }
    }
    assert!(compared > 3000, "{compared}");
}

#[test]
fn justified_lines_end_at_the_margin() {
    let bar = "ssss s.s. sss ss | s s ssss ssssss | ";
    let text = format!("groove a \"A\"\n  play  {}\n", bar.repeat(9).trim_end_matches(" | "));
    let block = Picture::of(&text);
    let mut ends: BTreeMap<usize, f64> = BTreeMap::new();
    for line in block.kind(Kind::StaffLine).chunks(5).enumerate() {
        ends.insert(line.0, line.1[0].ink.x1);
    }
    assert!(ends.len() > 4, "{ends:?}");
    // From margin to margin of an A4 page with 20 mm at the sides and a 7 mm staff.
    let width = (210.0 - 2.0 * 20.0) / 7.0 * 4.0;
    let last = ends.len() - 1;
    for (line, end) in ends.iter().filter(|(line, _)| **line < last) {
        assert!(
            (end - ends[&0]).abs() < 0.01,
            "line {line} ends at {end}, the first at {}",
            ends[&0]
        );
    }
    let left = block.kind(Kind::StaffLine)[0].ink.x0;
    assert!((ends[&0] - left - width).abs() < 0.01, "{} {width}", ends[&0] - left);
    assert!(ends[&last] <= ends[&0] + 0.01);
}

#[test]
fn lines_that_show_a_new_time_end_at_the_margin_too() {
    let bar = |groups: usize| vec!["ssss"; groups].join(" ");
    let sets: Vec<String> = (0..6)
        .map(|set| {
            let (time, groups) = if set % 2 == 0 { ("4/4", 4) } else { ("3/4", 3) };
            format!("  time: {time}\n  play  {0} | {0}\n", bar(groups))
        })
        .collect();
    let text = format!("groove a \"A\"\n  bars: 2\n{}", sets.join("  --\n"));
    let block = Picture::of(&text);
    let lines: Vec<f64> =
        block.kind(Kind::StaffLine).chunks(5).map(|lines| lines[0].ink.x1).collect();
    assert_eq!(lines.len(), 6);
    for end in &lines[..5] {
        assert!((end - lines[0]).abs() < 0.01, "{lines:?}");
    }
    // The new time stands at the end of every line but the last, and again at the next one's head.
    let barlines = block.kind(Kind::Barline);
    for (line, end) in lines.iter().enumerate().take(5) {
        let last = barlines.iter().filter(|b| b.line == line).map(|b| b.ink.x1);
        let last = last.fold(0.0, f64::max);
        let times = block.kind(Kind::TimeSignature);
        let after = times.iter().filter(|t| t.line == line && t.ink.x0 > last).count();
        assert_eq!(after, 2, "line {line}");
        assert!(end - last > 2.0 && end - last < 4.0, "{end} {last}");
    }
}

#[test]
fn a_line_begins_where_the_text_asks_for_it() {
    let lines = |mark: &str| {
        let text = format!("fill a \"A\"\n  play  ss | ss | ss | ss\n  time: 1/4\n  {mark}\n");
        let picture = Picture::of(&text);
        let numbers = picture.kind(Kind::BarNumber);
        numbers.iter().map(|number| number.name.clone()).collect::<Vec<_>>()
    };
    assert!(lines("mark . | . | . | .").is_empty());
    assert_eq!(lines("mark . | . | new-line | ."), ["3"]);
    assert!(lines("mark . | . | new-line? | .").is_empty(), "a good place is no demand");
}

#[test]
fn a_sign_for_several_bars_is_never_parted() {
    for bars in 1..8 {
        let text = format!(
            "exercise a \"A\"\n  bars: {bars}\n  play  ssss ssss ssss ssss | ss ss ss ss | ssss s s s | s s s s | %4 | %2\n"
        );
        let picture = Picture::of(&text);
        let repeats = picture.kind(Kind::BarRepeat);
        let signs: Vec<_> = repeats.iter().filter(|m| m.name.starts_with("repeat")).collect();
        let names: Vec<&str> = signs.iter().map(|m| m.name.as_str()).collect();
        assert_eq!(names, ["repeat4Bars", "repeat2Bars"], "bars: {bars}");
        // Each stands on a barline inside its line.
        for sign in signs {
            let barlines = picture.kind(Kind::Barline);
            let near = barlines.iter().filter(|b| b.line == sign.line);
            let nearest = near.map(|b| (b.centre() - sign.centre()).abs()).fold(9.0, f64::min);
            assert!(nearest < 0.05, "bars: {bars}: {} {nearest}", sign.name);
        }
    }
}

#[test]
fn silent_bars_are_one_rest_with_their_number() {
    let picture = Picture::of(
        "exercise a \"A\"\n  play  ssss ssss ssss ssss | .:4 | % | % | ssss s s s | .:4 | s s s s\n",
    );
    let rests = picture.kind(Kind::Rest);
    let digits: Vec<&str> =
        rests.iter().filter(|r| r.name.starts_with("timeSig")).map(|r| r.name.as_str()).collect();
    assert_eq!(digits, ["timeSig3"]);
    // A single silent bar has a rest of its own and no number.
    assert_eq!(rests.iter().filter(|r| r.name == "restWhole").count(), 1);
}

#[test]
fn bars_that_do_not_fit_are_told_as_such() {
    let warned = |text: &str| {
        let source = flamacue::source::Source::new("test.flam", text);
        let mut diagnostics = flamacue::source::Diagnostics::default();
        flamacue::compile(&source, &crate::picture::FONTS, &mut diagnostics).unwrap();
        diagnostics.render(&source, false)
    };
    let bar = "ssssssss ssssssss ssssssss ssssssss";
    let four = warned(&format!("fill\n  bars: 4\n  play  {bar} | {bar} | {bar} | {bar}\n"));
    assert!(four.contains("4 bars do not fit on one line"), "{four}");
    let split = "[ssss][ssss][ssss][ssss]";
    let one = warned(&format!("fill\n  play  {split} {split} {split} {split}\n"));
    assert!(one.contains("a bar is wider than the page"), "{one}");
}

#[test]
fn neighbouring_brackets_stand_at_one_height() {
    // Quarter triplets with a rest each, low and high by turns.
    let picture = Picture::of("fill a \"A\"\n  play  s.k k.s t.k k.t\n  voices: one\n");
    let digits = picture.kind(Kind::Tuplet);
    let heights: Vec<f64> =
        digits.iter().filter(|d| !d.name.is_empty()).map(|d| d.origin.1).collect();
    assert_eq!(heights.len(), 4);
    assert!(heights.iter().all(|y| (y - heights[0]).abs() < 0.01), "{heights:?}");
}

#[test]
fn tuplet_numbers_of_neighbours_stand_at_one_height() {
    // Numbers alone over beams high and low, and one with a bracket among them.
    for row in ["sss ttt fff mmm", "kkk sss k.k ttt", "f.f fff SSS mmm"] {
        let picture = Picture::of(&format!("fill a \"A\"\n  play  {row}\n  voices: one\n"));
        let digits = picture.kind(Kind::Tuplet);
        let heights: Vec<f64> =
            digits.iter().filter(|d| !d.name.is_empty()).map(|d| d.origin.1).collect();
        assert_eq!(heights.len(), 4);
        assert!(heights.iter().all(|y| (y - heights[0]).abs() < 0.01), "{row}: {heights:?}");
    }
}

/// The ends of the stems that point down, by their bars.
fn low_tips(picture: &Picture, bar: usize) -> Vec<f64> {
    let stems = picture.kind(Kind::Stem);
    stems.iter().filter(|s| s.bar == bar && s.ink.y1 > 1.2).map(|s| s.ink.y1).collect()
}

#[test]
fn beams_of_the_feet_keep_one_height_in_a_bar() {
    let groove = |feet: &str| {
        Picture::of(&format!(
            "groove a \"A\"\n  counts: none\n  hands  xx xx xx xx | xx xx xx xx\n  feet   {feet}\n"
        ))
    };
    // Eighths, sixteenths and thirty-seconds of one drum; both pedals, so that no beam slants.
    for feet in ["kk.k kk.k k.kk k.k. | kkkkkkkk kk kkkk k.k.", "kk pk k.pk kp | pk kkpp kp p.kk"] {
        let picture = groove(feet);
        for bar in [1, 2] {
            let tips = low_tips(&picture, bar);
            assert!(tips.len() >= 8, "{feet}: {tips:?}");
            assert!(tips.iter().all(|y| (y - tips[0]).abs() < 0.01), "{feet}: {tips:?}");
        }
    }
    // A third drum has a height of its own.
    let tips = low_tips(&groove("kk kk ss tt | kk kk kk kk"), 1);
    assert!(tips.iter().any(|y| (y - tips[0]).abs() > 0.4), "{tips:?}");
}

#[test]
fn words_over_the_staff_share_a_baseline() {
    let picture = Picture::of(
        "exercise a \"A\"\n  mark  A \"low\" . . | \"high\" . . tempo=120\n  play  kk kk kk kk | cc cc cc cc\n  voices: one\n",
    );
    let words = picture.kind(Kind::Words);
    assert_eq!(words.len(), 2);
    assert!((words[0].origin.1 - words[1].origin.1).abs() < 0.01);
    let section = picture.marks.iter().find(|m| m.kind == Kind::Section && m.name == "A").unwrap();
    let tempo = picture.marks.iter().find(|m| m.kind == Kind::Tempo && m.name == "= 120").unwrap();
    assert!((section.origin.1 - tempo.origin.1).abs() < 0.01);
    assert!(section.origin.1 <= words[0].origin.1, "sections stand no lower than words");
}

#[test]
fn equal_rhythms_get_equal_room() {
    let block = Picture::of("fill a \"A\"\n  counts: none\n  play  ssss ssss ssss ssss\n");
    let heads: Vec<f64> = block.heads().iter().map(|h| h.centre()).collect();
    assert_eq!(heads.len(), 16);
    let gaps: Vec<f64> = heads.windows(2).map(|w| w[1] - w[0]).collect();
    let (least, most) = gaps.iter().fold((f64::MAX, 0.0_f64), |(a, b), g| (a.min(*g), b.max(*g)));
    assert!(most / least < 1.02, "{gaps:?}");
}

#[test]
fn equal_notes_of_a_beam_stay_even_over_wide_words() {
    for (text, time) in [
        ("  counts: none\n  play  ssss s s s\n  say   . \"straw\" . . . . .\n", "4/4"),
        ("  counting: long\n  play  ssss s s s\n", "4/4"),
        ("  counts: none\n  play  s s s s s s s\n  say   a strawberry b c d e f\n", "7/8"),
        ("  counts: none\n  play  sss sss\n  say   a b strawberry c d e\n", "6/8"),
    ] {
        let block = Picture::of(&format!(
            "syllables long\n  4 # a-very-long & a\n\nfill a \"A\"\n  time: {time}\n{text}"
        ));
        let beams = block.kind(Kind::Beam);
        for beam in &beams {
            let heads = block.heads().into_iter().map(Seen::centre);
            let under: Vec<f64> =
                heads.filter(|x| *x > beam.ink.x0 - 1.5 && *x < beam.ink.x1 + 0.1).collect();
            let gaps: Vec<f64> = under.windows(2).map(|w| w[1] - w[0]).collect();
            assert!(!gaps.is_empty());
            assert!(gaps.iter().all(|gap| (gap - gaps[0]).abs() < 0.01), "{text}: {gaps:?}");
        }
        assert!(!beams.is_empty(), "{text}");
    }
}

#[test]
fn longer_notes_never_get_less_room() {
    let block = Picture::of(
        "fill a \"A\"\n  counts: none\n  play  s ss ssss s.ss | s--- ---- ss s | s. sss ssssss s\n",
    );
    for bar in 1..=3 {
        let heads: Vec<&Seen> = block.heads().into_iter().filter(|head| head.bar == bar).collect();
        let mut rooms: Vec<(f64, f64)> = heads
            .windows(2)
            .map(|w| {
                let time = |s: &Seen| s.beat.map_or(0.0, |b| b.as_f64());
                (time(w[1]) - time(w[0]), w[1].centre() - w[0].centre())
            })
            .collect();
        assert!(rooms.len() > 2, "bar {bar}: {rooms:?}");
        rooms.sort_by(|a, b| a.0.total_cmp(&b.0));
        for pair in rooms.windows(2) {
            assert!(pair[1].1 >= pair[0].1 - 0.01, "bar {bar}: {rooms:?}");
        }
    }
}

#[test]
fn grace_notes_do_not_push_the_rhythm_apart_where_there_is_room() {
    let plain = Picture::of("fill a \"A\"\n  counts: none\n  play  s s s s\n");
    let flams = Picture::of("fill a \"A\"\n  counts: none\n  play  s 's ''s s\n");
    let xs = |p: &Picture| -> Vec<f64> {
        let heads = p.heads();
        let first = heads[0].centre();
        heads.iter().map(|h| h.centre() - first).collect()
    };
    let (plain, flams) = (xs(&plain), xs(&flams));
    assert_eq!((plain.len(), flams.len()), (4, 4));
    assert!(plain.iter().zip(&flams).all(|(a, b)| (a - b).abs() < 1e-6), "{plain:?} {flams:?}");
}
