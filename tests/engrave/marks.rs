//! What stands over and under the staff. Sources are named at each check; every value is from
//! memory.

use crate::generated;
use crate::picture::{Picture, Seen};
use flamacue::drawing::Kind;
use kurbo::Point;

/// The ink of the endings of a line, without their numbers: lines across, and hooks.
fn endings(picture: &Picture, line: usize) -> (Vec<Seen>, Vec<Seen>) {
    let ink = picture.kind(Kind::Ending).into_iter().filter(|m| m.line == line);
    let ink = ink.filter(|m| m.name.is_empty()).cloned();
    ink.partition(|mark| mark.ink.width() > mark.ink.height())
}

fn numbers(picture: &Picture) -> Vec<(usize, String)> {
    let ink = picture.kind(Kind::Ending).into_iter().filter(|m| !m.name.is_empty());
    ink.map(|m| (m.line, m.name.clone())).collect()
}

/// A line of as many bars of quarters as there are marks, with its endings.
fn form(bars: &str, marks: &str) -> Picture {
    Picture::of(&format!("fill a\n  counts: none\n  bars: 16\n  play  {bars}\n  mark  {marks}\n"))
}

/// Where bars end, from the first on: the right edges of their barlines.
fn bar_ends(picture: &Picture) -> Vec<f64> {
    let mut ends: Vec<(usize, f64)> = Vec::new();
    for line in picture.kind(Kind::Barline) {
        match ends.iter_mut().find(|(bar, _)| *bar == line.bar) {
            Some((_, end)) => *end = end.max(line.ink.x1),
            None => ends.push((line.bar, line.ink.x1)),
        }
    }
    ends.sort_by_key(|(bar, _)| *bar);
    ends.into_iter().map(|(_, end)| end).collect()
}

#[test]
fn a_later_ending_closes_with_its_passage_and_is_open_where_the_music_goes_on() {
    // Gould, "Repeat signs"; the length of an open one is common practice, no source.
    for (bars, marks, last, closed) in [
        // As long as the first, and on.
        ("s|s:|s|s|s|s", ". | 1. | 2. | . | . | .", 3, false),
        ("s|s|s:|s|s|s|s", ". | 1. | . | 2. | . | . | .", 5, false),
        // Up to the final line, a double line, the next letter or repeat.
        ("s|s|s:|s|s", ". | 1. | . | 2. | .", 5, true),
        ("s|s|s|s:|s|s||s|s", ". | 1. | . | . | 2. | . | . | .", 6, true),
        ("s|s|s|s:|s|s|s|s", ". | 1. | . | . | 2. | . | B | .", 6, true),
        ("s|s|s|s:|s|s|:s|s:|", ". | 1. | . | . | 2. | . | . | .", 6, true),
        ("s|s|s:|s:|s|s|s", ". | 1. | . | 2. | 3. | . | .", 6, false),
        // Up to its own repeat, however short the first is.
        ("s|s:|s|s|s:|", ". | 1. | 2. | . | .", 5, true),
        ("s|s:|s|s|s|s:|", ". | 1. | . | . | 2. | .", 6, true),
    ] {
        let picture = form(&bars.replace('s', " s s s s "), marks);
        let (lines, hooks) = endings(&picture, 0);
        let end = bar_ends(&picture)[last - 1];
        let right = lines.iter().map(|m| m.ink.x1).fold(0.0, f64::max);
        assert!(right < end && right > end - 1.2, "{bars}: {right} and {end}");
        let hook = hooks.iter().any(|m| (m.ink.x1 - right).abs() < 0.01);
        assert_eq!(hook, closed, "{bars}");
    }
}

#[test]
fn an_ending_in_a_further_line_repeats_its_number_in_brackets() {
    // Common practice, no source.
    let picture = Picture::of(
        "fill a\n  bars: 1\n  play  s s s s | s s s s | s s s s :| s s s s | s s s s\n  mark  . | 1. | . | 2. | .\n",
    );
    let wanted = [(1, "1."), (2, "(1.)"), (3, "2."), (4, "(2.)")];
    assert_eq!(numbers(&picture), wanted.map(|(line, name)| (line, name.to_owned())));
    // Its left end has no hook where it goes on.
    let (lines, hooks) = endings(&picture, 2);
    assert_eq!((lines.len(), hooks.len()), (1, 1));
    assert!((hooks[0].ink.x1 - lines[0].ink.x1).abs() < 0.01);
}

#[test]
fn the_way_to_the_coda_is_told_in_words_and_with_the_sign() {
    // SMuFL, "coda", U+E048; Gould, "Repeat signs".
    let picture = Picture::of(
        "fill a\n  play  s s s s | s s s s | s s s s\n  mark  . . . to-coda | dc-al-coda | coda\n",
    );
    let words = picture.kind(Kind::Words).into_iter().find(|m| m.name == "To Coda").unwrap();
    let signs = picture.kind(Kind::Sign);
    assert_eq!(signs.iter().filter(|sign| sign.name == "coda").count(), 2);
    let sign = signs.into_iter().min_by(|a, b| a.ink.x0.total_cmp(&b.ink.x0)).unwrap();
    let room = sign.ink.x0 - words.ink.x1;
    assert!((0.2..1.0).contains(&room), "{room}");
    assert!(
        sign.ink.contains(Point::new(sign.centre(), words.middle())),
        "in the line of the words"
    );
    assert!(sign.ink.x1 < bar_ends(&picture)[0] + 0.01, "in its bar");
}

/// The left and the right ends of hairpins with their lines, from left to right.
fn hairpins(picture: &Picture) -> Vec<(usize, f64, f64)> {
    let mut pins: Vec<(usize, f64, f64)> =
        picture.kind(Kind::Hairpin).iter().map(|m| (m.line, m.ink.x0, m.ink.x1)).collect();
    pins.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    pins.dedup_by(|a, b| a.0 == b.0 && (a.1 - b.1).abs() < 0.1);
    pins
}

#[test]
fn a_hairpin_is_three_spaces_long_and_stands_clear_of_dynamics() {
    // Gould, "Hairpins"; the gap has no source.
    for (text, pins) in [
        ("  count  1 e & a 2 e & a 3\n  play   s s s s s s s s s\n  dyn    p < f > p . < f .\n", 3),
        (
            "  count  1 e & a 2 e & a 3\n  play   s s s s s s s s s\n  dyn    < > < > sfz < ff > f\n",
            6,
        ),
        (
            "  count  1 e & a 2 e & a 3\n  play   s s s s s s s s s\n  dyn    . . < ! . . > sfz >\n",
            3,
        ),
        ("  play   ssss | s | ssss | s\n  time: 1/4\n  dyn    < | > | < | sfz\n", 3),
        ("  bars: 1\n  play  s | s | s | s\n  time: 1/4\n  dyn    < | . | . | p\n", 3),
    ] {
        let picture = Picture::of(&format!("fill a\n{text}"));
        let found = hairpins(&picture);
        assert_eq!(found.len(), pins, "{text}");
        let letters = picture.kind(Kind::Dynamic);
        for (line, left, right) in found {
            assert!(right - left > 2.9, "{text}: {}", right - left);
            for letter in letters.iter().filter(|m| m.line == line) {
                let clear = letter.ink.x0 > right + 0.2 || letter.ink.x1 < left - 0.2;
                assert!(clear, "{text}: {left} to {right}, {:?}", letter.ink);
            }
        }
    }
}

#[test]
fn no_hairpin_is_shorter_in_generated_bars() {
    let mut seen = 0;
    for seed in 0..150 {
        let picture = Picture::of(&generated::rich(seed, 6, ""));
        for (line, left, right) in hairpins(&picture) {
            // In the spaces of its line, as its clef has them: one with a bar wider than the page is smaller.
            let clef = picture.kind(Kind::Clef).into_iter().find(|m| m.line == line);
            let space = clef.map_or(1.0, |clef| clef.scale);
            let length = (right - left) / space;
            assert!(length > 2.9, "seed {seed}, line {line}: {left} to {right}, of {space}");
            seen += 1;
        }
    }
    assert!(seen > 300, "{seen}");
}

#[test]
fn a_voice_that_is_silent_for_a_bar_shows_it_where_rests_are_full() {
    // Gould, "Rests in double-stemmed writing": clear of the other voice, on its own side.
    let rests = |rests: &str, hands: &str, feet: &str| -> Vec<(usize, f64)> {
        let picture = Picture::of(&format!(
            "groove a\n  counts: none\n  rests: {rests}\n  hands  {hands}\n  feet   {feet}\n"
        ));
        let all = picture.kind(Kind::Rest).into_iter();
        all.filter(|m| m.name == "restWhole").map(|m| (m.bar, m.origin.1.round())).collect()
    };
    let (hands, feet) = (".:4 | s s s s | s s s s | .:4", "k k k k | .:4 | k k k k | .:4");
    assert_eq!(rests("full", hands, feet), [(1, -2.0), (2, 1.0), (4, -1.0)]);
    assert_eq!(rests("short", hands, feet), [(4, -1.0)]);
    // Feet that never sound show nothing.
    assert_eq!(rests("full", "s s s s | .:4", ".:4 | .:4"), [(2, -1.0)]);
    // Out of the way of what is there.
    let (bar, y) = rests("full", "f.ff ffff ffff f | s s s s", ".:4 | k k k k")[0];
    assert_eq!(bar, 1);
    assert!(y > 1.5, "{y}");
    // One voice by bars has no feet of their own.
    let picture = Picture::of(
        "fill a\n  counts: none\n  voices: by bar\n  rests: full\n  hands  s s s s | ss ss ss ss\n  feet  .:4 | k..k k..k k k\n",
    );
    assert!(picture.kind(Kind::Rest).iter().all(|rest| rest.name != "restWhole"));
}

#[test]
fn dynamics_stand_under_the_beats_of_a_bar_that_a_sign_stands_for() {
    // Common practice, no source.
    let picture = Picture::of(
        "fill a\n  counts: none\n  play  s s s s | % | s s s s | %2\n  dyn   . | p f < p | . | p f p . | . . . p\n",
    );
    let mut glyphs: Vec<(usize, f64, f64)> =
        picture.kind(Kind::Dynamic).iter().map(|m| (m.line, m.ink.x0, m.ink.x1)).collect();
    glyphs.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    assert!(glyphs.len() >= 6, "{glyphs:?}");
    for pair in glyphs.windows(2).filter(|pair| pair[0].0 == pair[1].0) {
        assert!(pair[0].2 + 0.2 <= pair[1].1, "{pair:?}");
    }
    // The first beat of the sign's bar is at its left, and not under the sign.
    let sign = picture.one(Kind::BarRepeat);
    let first = picture.one(Kind::Dynamic);
    assert!(first.ink.x1 < sign.ink.x0, "{first:?} {sign:?}");
}
