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
    for (seed, block) in blocks(1060..1120) {
        let mut rows: BTreeMap<(usize, Kind), Vec<f64>> = BTreeMap::new();
        for mark in &block.marks {
            if matches!(mark.kind, Kind::Count | Kind::Sticking | Kind::Dynamic) {
                rows.entry((mark.line, mark.kind)).or_default().push(mark.origin.1);
            }
        }
        for ((_, kind), baselines) in rows {
            let first = baselines[0];
            assert!(baselines.iter().all(|y| (y - first).abs() < 1e-6), "seed {seed}: {kind:?}");
        }
    }
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
    // From margin to margin of an A4 page with 16 mm at the sides and a 7 mm staff.
    let width = (210.0 - 2.0 * 16.0) / 7.0 * 4.0;
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
fn equal_rhythms_get_equal_room() {
    let block = Picture::of("fill a \"A\"\n  counts: none\n  play  ssss ssss ssss ssss\n");
    let heads: Vec<f64> = block.heads().iter().map(|h| h.centre()).collect();
    let gaps: Vec<f64> = heads.windows(2).map(|w| w[1] - w[0]).collect();
    let (least, most) = gaps.iter().fold((f64::MAX, 0.0_f64), |(a, b), g| (a.min(*g), b.max(*g)));
    assert!(most / least < 1.02, "{gaps:?}");
}

#[test]
fn longer_notes_never_get_less_room() {
    let block = Picture::of(
        "fill a \"A\"\n  counts: none\n  play  s ss ssss s.ss | s--- ---- ss s | s- sss ssssss s\n"
            .replace("s- sss", "s. sss")
            .as_str(),
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
    for (a, b) in xs(&plain).iter().zip(xs(&flams)) {
        assert!((a - b).abs() < 1e-6);
    }
}
