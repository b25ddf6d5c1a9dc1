//! Time that is not beat by beat: gradual changes with their dashes, beams by groups, groups over barlines,
//! and music without a time signature. Sources are named at each check; every value is from memory.

use crate::picture::{Picture, Seen};
use flamacue::drawing::Kind;

/// The dashes of a line, from left to right.
fn dashes(picture: &Picture, line: usize) -> Vec<&Seen> {
    let mut all = picture.kind(Kind::Gradual);
    all.retain(|mark| mark.line == line && mark.name.is_empty());
    all.sort_by(|a, b| a.ink.x0.total_cmp(&b.ink.x0));
    all
}

fn words(picture: &Picture) -> Vec<(usize, &str)> {
    let named = picture.kind(Kind::Gradual).into_iter().filter(|mark| !mark.name.is_empty());
    named.map(|mark| (mark.line, mark.name.as_str())).collect()
}

#[test]
fn dashes_lead_to_the_next_dynamic() {
    // Gould, "Dynamics"; the gaps have no source.
    let picture =
        Picture::of("fill a\n  play  ssss ssss ssss ssss\n  dyn   p cresc . f\n  counts: none\n");
    let dashes = dashes(&picture, 0);
    let word = picture.kind(Kind::Gradual).into_iter().find(|mark| mark.name == "cresc.").unwrap();
    let forte =
        picture.kind(Kind::Dynamic).into_iter().max_by(|a, b| a.ink.x0.total_cmp(&b.ink.x0));
    let (first, last, forte) = (dashes[0], dashes[dashes.len() - 1], forte.unwrap());
    assert!(dashes.len() > 2);
    assert!(first.ink.x0 > word.ink.x1 && first.ink.x0 < word.ink.x1 + 2.8, "{first:?}");
    assert!(last.ink.x1 < forte.ink.x0 && last.ink.x1 > forte.ink.x0 - 1.5, "{last:?} {forte:?}");
    for dash in &dashes {
        assert!(dash.middle() < word.origin.1 && dash.middle() > word.ink.y0);
    }
}

#[test]
fn words_with_dashes_stand_again_in_brackets_on_a_further_line() {
    // Common practice, no source.
    let picture = Picture::of(
        "fill a\n  bars: 1\n  play  s s s s | s s s s | s s s s\n  dyn   cresc | . | f\n  mark  rit | . | a-tempo\n",
    );
    let all = words(&picture);
    for wanted in [(0, "cresc."), (1, "(cresc.)"), (0, "rit."), (1, "(rit.)")] {
        assert!(all.contains(&wanted), "{wanted:?} in {all:?}");
    }
    assert_eq!(all.len(), 4, "they end with the first note of the third line");
}

#[test]
fn a_ritardando_ends_before_the_tempo_that_follows() {
    // Gould, "Tempo indications"; the gap has no source.
    let picture =
        Picture::of("fill a\n  play  s s s s | s s s s\n  mark  . rit . . | . tempo=60 . .\n");
    let tempo = picture.kind(Kind::Tempo);
    let left = tempo.iter().map(|mark| mark.ink.x0).fold(f64::INFINITY, f64::min);
    let dashes = dashes(&picture, 0);
    let end = dashes[dashes.len() - 1].ink.x1;
    assert!(end < left - 1.0 && end > left - 2.5, "{end} {left}");
}

/// The chords under each first beam of a line: how many stems each beam reaches over.
fn beamed(picture: &Picture) -> Vec<usize> {
    let mut stems = picture.kind(Kind::Stem);
    stems.sort_by(|a, b| a.ink.x0.total_cmp(&b.ink.x0));
    let mut beams = picture.kind(Kind::Beam);
    beams.sort_by(|a, b| a.ink.x0.total_cmp(&b.ink.x0));
    let under = |beam: &&Seen| {
        let reaches =
            |stem: &&&Seen| stem.ink.x0 > beam.ink.x0 - 0.2 && stem.ink.x1 < beam.ink.x1 + 0.2;
        stems.iter().filter(reaches).count()
    };
    beams.iter().map(under).collect()
}

#[test]
fn beams_follow_the_groups_that_are_asked_for() {
    // Gould, "Beaming": 3+3+2 shows where the accents are.
    let of = |rows: &str| Picture::of(&format!("fill a\n  counts: none\n{rows}"));
    let eight = "  play  ss ss ss ss\n";
    assert_eq!(beamed(&of(eight)), [2, 2, 2, 2]);
    assert_eq!(beamed(&of(&format!("  beams: 1/2\n{eight}"))), [4, 4]);
    assert_eq!(beamed(&of(&format!("  beams: 3+3+2\n{eight}"))), [3, 3, 2]);
    assert_eq!(beamed(&of(&format!("  beams: dotted quarter\n{eight}"))), [3, 3, 2]);
    // A half of sixteenths is parted in its second beam.
    let mut all = beamed(&of("  beams: 1/2\n  play  ssss ssss s s\n"));
    all.sort_unstable();
    assert_eq!(all, [4, 4, 8]);
    // A pickup stands at the end of its bar.
    let pickup = "  beams: 3+3+2\n  pickup: 3/8\n  play  s:1/2 ss | ss ss ss ss\n";
    assert_eq!(beamed(&of(pickup)), [2, 3, 3, 2]);
}

/// The brackets of tuplets: lines across, hooks and numbers.
fn brackets(picture: &Picture) -> (Vec<&Seen>, Vec<&Seen>, Vec<&Seen>) {
    let all = picture.kind(Kind::Tuplet);
    let (numbers, ink): (Vec<&Seen>, Vec<&Seen>) =
        all.into_iter().partition(|mark| !mark.name.is_empty());
    let (lines, hooks) = ink.into_iter().partition(|m| m.ink.width() > m.ink.height());
    (lines, hooks, numbers)
}

#[test]
fn one_bracket_stands_over_the_barline_with_its_number() {
    // Gould, "Tuplets": a tuplet over a barline has one bracket; the note over the barline is tied.
    for (rows, number) in [
        ("  play  s s s st|f:2 s s s\n", "3"),
        ("  play  s s s stt|mf:2 s s s\n", "5"),
        ("  play  s s s stt|mmf:2 s s s\n", "6"),
        ("  time: 6/8\n  play  sss sst|tff:2 sss\n", ""),
    ] {
        let picture = Picture::of(&format!("fill a\n  counts: none\n{rows}"));
        let (lines, hooks, numbers) = brackets(&picture);
        if number.is_empty() {
            // Plain notes say it: three eighths on each side.
            assert_eq!((lines.len(), numbers.len()), (0, 0), "{rows}");
            continue;
        }
        assert_eq!((lines.len(), hooks.len(), numbers.len()), (2, 2, 1), "{rows}");
        assert!(numbers[0].name.ends_with(number), "{}", numbers[0].name);
        let bar =
            picture.kind(Kind::Barline).into_iter().map(|m| m.ink.x0).fold(f64::MAX, f64::min);
        let left = lines.iter().map(|m| m.ink.x0).fold(f64::MAX, f64::min);
        let right = lines.iter().map(|m| m.ink.x1).fold(0.0, f64::max);
        assert!(left < bar && right > bar, "{rows}: {left} {bar} {right}");
        let ties = usize::from(number != "6");
        assert_eq!(picture.kind(Kind::Tie).len(), ties, "{rows}");
    }
}

#[test]
fn a_bracket_over_a_line_break_is_open_there() {
    // Common practice, no source.
    let picture = Picture::of("fill a\n  bars: 1\n  counts: none\n  play  s s s st|f:2 s s s\n");
    let (_, hooks, numbers) = brackets(&picture);
    assert_eq!((hooks.len(), numbers.len()), (2, 2));
    assert_ne!(hooks[0].line, hooks[1].line);
}

#[test]
fn without_a_time_signature_none_is_printed() {
    let picture = Picture::of(
        "fill a\n  time: none\n  play  s s s | s:1/2 ss\n  --\n  time: 2/4\n  play  s s\n",
    );
    let signs = picture.kind(Kind::TimeSignature);
    assert_eq!(signs.len(), 2, "the figures of 2/4");
    assert!(signs.iter().all(|sign| sign.bar == 3));
    let counts: Vec<&str> = picture.kind(Kind::Count).iter().map(|m| m.name.as_str()).collect();
    assert_eq!(counts, ["1", "2", "3", "1", "2", "&", "1", "2"]);
}
