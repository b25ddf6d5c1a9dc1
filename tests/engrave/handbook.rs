//! The engraver against the handbooks. Sources are named at each check; every value is from memory.
//!
//! Gould: Elaine Gould, *Behind Bars* (2011). Ross: Ted Ross, *The Art of Music Engraving and
//! Processing* (1970). Stone: Kurt Stone, *Music Notation in the Twentieth Century* (1980).
//! Weinberg: Norman Weinberg, *Guide to Standardized Drumset Notation* (1998). SMuFL: version 1.4.

use crate::picture::{Picture, Seen};
use flamacue::drawing::Kind;

const NEAR: f64 = 0.06;

fn fill(row: &str) -> Picture {
    Picture::of(&format!("fill a \"A\"\n  counts: none\n  play  {row}\n"))
}

fn groove(hands: &str, feet: &str) -> Picture {
    Picture::of(&format!("groove a \"A\"\n  counts: none\n  hands  {hands}\n  feet  {feet}\n"))
}

fn near(value: f64, wanted: f64) -> bool {
    (value - wanted).abs() < NEAR
}

fn stem_length(picture: &Picture) -> f64 {
    let (head, stem) = (picture.heads()[0], picture.one(Kind::Stem));
    (head.middle() - stem.ink.y0).max(stem.ink.y1 - head.middle())
}

/// Rise of the first beam's outer edge from its first to its last stem, up positive.
fn rise(picture: &Picture) -> f64 {
    let mut stems = picture.kind(Kind::Stem);
    stems.sort_by(|a, b| a.ink.x0.total_cmp(&b.ink.x0));
    stems[0].ink.y0 - stems[1].ink.y0
}

fn position(letter: char) -> f64 {
    fill(&format!("{letter} . . .")).heads()[0].middle()
}

// Stems.

#[test]
fn a_stem_is_an_octave_long() {
    // Gould, "Stem length": three and a half spaces.
    assert!(near(stem_length(&fill("s . . .")), 3.5));
    assert!(near(stem_length(&fill("f . . .")), 3.5));
}

#[test]
fn a_stem_that_points_away_from_the_staff_is_shortened_to_no_less_than_two_and_a_half() {
    // Gould, "Stem length", double-stemmed writing.
    let hat = stem_length(&fill("h . . ."));
    let crash = stem_length(&fill("c . . ."));
    assert!((2.5..3.5).contains(&hat), "{hat}");
    assert!((2.5..=hat).contains(&crash), "{crash}");
}

#[test]
fn each_flag_from_the_third_lengthens_the_stem() {
    // Gould, "Stem length": three-quarters of a space for each.
    let plain = stem_length(&fill("s . . ."));
    let third = stem_length(&fill("s-------:1/2 .:1/2 . . ."));
    let flagged = fill(".......s . . .");
    assert!(flagged.one(Kind::Flag).name == "flag32ndUp");
    assert!(near(stem_length(&flagged) - plain, 0.75), "{}", stem_length(&flagged));
    assert!(near(third, plain));
}

#[test]
fn a_stem_reaches_the_end_of_its_flag_and_no_further() {
    // SMuFL, "glyphsWithAnchors": stemUpNW and stemDownSW, where flags of short notes end.
    for silence in [1, 3, 7, 15] {
        let row = |letter| format!("{}{letter} . . .", ".".repeat(silence));
        let up = fill(&row('s'));
        let (flag, stem) = (up.one(Kind::Flag), up.one(Kind::Stem));
        assert!(flag.name.ends_with("Up"), "{}", flag.name);
        assert!((flag.ink.y0 - stem.ink.y0).abs() < 0.01, "{}: {}", flag.name, flag.ink.y0);
        let down = groove("s s s s", &row('k'));
        let (flag, head) = (down.one(Kind::Flag), down.heads());
        let kick = head.iter().find(|head| head.middle() > 1.0).unwrap();
        let stems = down.kind(Kind::Stem);
        let stem = stems.iter().find(|stem| (stem.ink.x0 - kick.ink.x0).abs() < 0.05).unwrap();
        assert!(flag.name.ends_with("Down"), "{}", flag.name);
        assert!((flag.ink.y1 - stem.ink.y1).abs() < 0.01, "{}: {}", flag.name, flag.ink.y1);
    }
}

#[test]
fn stems_up_stand_at_the_right_of_the_head_and_stems_down_at_the_left() {
    // Gould, "Stems"; SMuFL anchors stemUpSE and stemDownNW.
    let two = groove("s . . .", "k . . .");
    let stem = |up: bool| {
        two.kind(Kind::Stem).into_iter().find(|s| (s.ink.y0 < -1.5) == up).unwrap().clone()
    };
    let head = two.heads()[0];
    assert!(near(stem(true).ink.x1, head.ink.x1), "{:?} {:?}", stem(true).ink, head.ink);
    let kick = two.heads().into_iter().find(|h| h.middle() > 1.0).unwrap().clone();
    assert!(near(stem(false).ink.x0, kick.ink.x0));
}

// Weights (engraving brief; Gould, "Line thickness"; SMuFL engravingDefaults).

#[test]
fn lines_have_their_weights() {
    let p = groove("cccc s s s | s s s s", "k . . . | k . . .");
    let thin = |m: &Seen| m.ink.height().min(m.ink.width());
    assert!((0.11..=0.13).contains(&thin(p.one(Kind::StaffLine))));
    assert!((0.11..=0.13).contains(&thin(p.one(Kind::Stem))));
    assert!((0.15..=0.17).contains(&thin(p.one(Kind::Ledger))));
    assert!((0.48..=0.52).contains(&p.one(Kind::Beam).ink.height()));
    let bars = p.kind(Kind::Barline);
    assert!((0.15..=0.17).contains(&bars[0].ink.width()));
    assert!((0.48..=0.52).contains(&bars[2].ink.width()));
}

/// A single bar ends more quietly: its thick line has two thirds of the weight (common practice, no
/// source).
#[test]
fn a_single_bar_ends_with_a_lighter_line() {
    let p = groove("s s s s", "k . . .");
    let bars = p.kind(Kind::Barline);
    assert_eq!(bars.len(), 2);
    assert!((0.32..=0.35).contains(&bars[1].ink.width()), "{}", bars[1].ink.width());
}

#[test]
fn beams_stand_a_quarter_space_apart() {
    // Gould, "Beam thickness and spacing".
    let p = fill("ssss . . .");
    let beams = p.kind(Kind::Beam);
    assert!(near(beams[1].ink.y0 - beams[0].ink.y1, 0.25));
}

// Positions of the kit (Weinberg; the engraving brief).

#[test]
fn the_kit_stands_where_drummers_look_for_it() {
    for (letter, y, where_) in [
        ('k', 1.5, "lowest space"),
        ('f', 0.5, "second space"),
        ('s', -0.5, "third space"),
        ('m', -1.0, "fourth line"),
        ('t', -1.5, "fourth space"),
        ('r', -2.0, "top line"),
        ('h', -2.5, "over the staff"),
        ('c', -3.0, "first ledger line"),
        ('p', 2.5, "under the staff"),
    ] {
        assert!(near(position(letter), y), "{letter} in the {where_}: {}", position(letter));
    }
}

#[test]
fn cymbals_have_crossed_heads_and_drums_round_ones() {
    for letter in ['h', 'r', 'c', 'p'] {
        assert_eq!(fill(&format!("{letter} . . .")).heads()[0].name, "noteheadXBlack", "{letter}");
    }
    for letter in ['k', 's', 't', 'm', 'f'] {
        assert_eq!(fill(&format!("{letter} . . .")).heads()[0].name, "noteheadBlack", "{letter}");
    }
}

#[test]
fn long_notes_are_open_on_every_instrument() {
    // Gould, "Note-heads": a half note differs from a quarter in its head, a whole note from both.
    let name = |row: String| fill(&row).heads()[0].name.clone();
    for letter in "kstmfxhoprbcdlnw".chars() {
        let quarter = name(format!("{letter} . . ."));
        let half = name(format!("{letter} - . ."));
        let whole = name(format!("{letter} - - -"));
        assert!(quarter != half && half != whole && whole != quarter, "{letter}: {half}");
    }
}

#[test]
fn a_crash_has_one_ledger_line_through_its_head() {
    let p = fill("c . . .");
    let ledger = p.one(Kind::Ledger);
    assert_eq!(p.kind(Kind::Ledger).len(), 1);
    assert!(near(ledger.middle(), -3.0));
    // Gould, "Ledger lines": they reach a little beyond the head on both sides.
    let head = p.heads()[0];
    assert!(ledger.ink.x0 < head.ink.x0 - 0.2 && ledger.ink.x1 > head.ink.x1 + 0.2);
}

#[test]
fn an_open_hat_has_a_ring_over_it() {
    // Weinberg, "Hi-hat".
    let p = Picture::of("groove a \"A\"\n  counts: none\n  hat  o h x x\n");
    let signs = p.kind(Kind::Opening);
    assert_eq!(signs[0].name, "brassMuteOpen");
    assert!(signs[0].ink.y1 < p.kind(Kind::Stem)[0].ink.y0);
}

// Beams.

#[test]
fn a_beam_over_repeated_notes_is_level() {
    // Ross, "Beams".
    assert!(rise(&fill("ss . . .")).abs() < 1e-9);
}

#[test]
fn a_beam_follows_its_outer_notes_by_no_more_than_a_quarter_space_for_a_second() {
    // Ross, table of slants: seconds a quarter space.
    let step = rise(&fill("sm . . ."));
    assert!(step > 0.0 && step <= 0.25 + 1e-9, "{step}");
    assert!(rise(&fill("ms . . .")) < 0.0);
}

#[test]
fn a_beam_follows_a_third_by_no_more_than_a_half_space() {
    // Ross, table of slants.
    let third = rise(&fill("st . . ."));
    assert!(third > 0.0 && third <= 0.5 + 1e-9, "{third}");
}

#[test]
fn no_beam_rises_more_than_a_space() {
    // Ross gives a space and a half at most; less suits lines that leap.
    let leap = rise(&fill("kc . . ."));
    assert!(leap > 0.0 && leap <= 1.0 + 1e-9, "{leap}");
}

#[test]
fn a_beam_is_level_where_an_inner_note_stands_nearest() {
    // Gould, "Beam slant": concave groups.
    let p = fill("sctm . . .");
    let tips: Vec<f64> = p.kind(Kind::Stem).iter().map(|s| s.ink.y0).collect();
    assert_eq!(tips.len(), 4);
    assert!(tips.iter().all(|y| (y - tips[0]).abs() < 1e-6), "{tips:?}");
}

#[test]
fn beams_end_on_lines_or_between_them_well() {
    // Ross, "Beams": inside the staff an end sits on, straddles or hangs from a line.
    let mut inside = 0;
    for row in ["kk", "kf", "ff", "kkkk", "fk", "pp", "pk", "kp", "pppp", "ppkk", "pppppppp"] {
        for stem in fill(&format!("{row} . . .")).kind(Kind::Stem) {
            let tip = stem.ink.y0;
            if tip > -2.0 {
                inside += 1;
                let into = (-tip).rem_euclid(1.0);
                let off = [0.0, 0.25, 0.5, 1.0].iter().map(|g| (into - g).abs());
                assert!(off.fold(1.0, f64::min) < NEAR, "{row}: {tip}");
            }
        }
    }
    assert!(inside >= 20, "only {inside} ends stand inside the staff");
}

#[test]
fn beamlets_point_into_their_beat() {
    // Gould, "Fractional beams".
    let beamlet = |row: &str| {
        let p = fill(row);
        let beams = p.kind(Kind::Beam);
        let least = beams.iter().min_by(|a, b| a.ink.width().total_cmp(&b.ink.width()));
        let first = p.kind(Kind::Stem)[0].ink.x1;
        (least.unwrap().ink.x0 > first + 0.3, beams.len())
    };
    assert_eq!(beamlet("s..s . . ."), (true, 2));
    assert_eq!(beamlet("ss.. . . ."), (false, 2));
}

#[test]
fn thirty_seconds_break_the_second_beam_in_the_middle_of_the_beat() {
    // Gould, "Secondary beams": broken at the eighth; the primary beam goes through.
    assert_eq!(fill("ssssssss . . .").kind(Kind::Beam).len(), 1 + 2 + 2);
}

// Tuplets.

#[test]
fn a_beam_that_shows_the_group_has_the_number_alone() {
    // Gould, "Tuplets": a bracket only where no beam shows the group.
    for (row, digits) in [("sss . . .", 1), ("sssss . . .", 1), ("sssssssssss . . .", 2)] {
        assert_eq!(fill(row).kind(Kind::Tuplet).len(), digits, "{row}");
    }
}

#[test]
fn without_a_beam_a_bracket_spans_the_group() {
    let p = fill("s.s . . .");
    let marks = p.kind(Kind::Tuplet);
    assert_eq!(marks.len(), 5, "a number, two lines and two hooks");
    let (left, right) = (
        marks.iter().map(|m| m.ink.x0).fold(f64::MAX, f64::min),
        marks.iter().map(|m| m.ink.x1).fold(f64::MIN, f64::max),
    );
    let heads = p.heads();
    assert!(near(left, heads[0].ink.x0) && near(right, heads[1].ink.x1));
}

#[test]
fn tuplet_numbers_stand_on_the_side_of_the_stems() {
    let p = groove("sss . . .", "k.k . . .");
    let digits: Vec<_> = p.kind(Kind::Tuplet).into_iter().filter(|m| m.name == "tuplet3").collect();
    assert!(digits.iter().any(|d| d.middle() < -2.0) && digits.iter().any(|d| d.middle() > 2.0));
}

#[test]
fn tuplets_have_the_values_of_the_next_lower_plain_division() {
    // Gould, "Tuplets": three for two, five to seven for four, nine to fifteen for eight.
    for (row, beams) in [("sss", 1), ("sssss", 2), ("ssssss", 2), ("sssssss", 2), ("sssssssss", 3)]
    {
        let p = fill(&format!("{row} . . ."));
        let lines: std::collections::BTreeSet<i64> =
            p.kind(Kind::Beam).iter().map(|b| (b.ink.y0 * 100.0).round() as i64).collect();
        assert_eq!(lines.len(), beams, "{row}");
    }
}

#[test]
fn four_in_a_dotted_beat_is_a_tuplet_and_two_are_dotted_notes() {
    // Gould, "Duplets and quadruplets in compound time".
    let compound = |row: &str| {
        Picture::of(&format!("fill a\n  time: 6/8\n  counts: none\n  play  {row} sss\n"))
    };
    assert_eq!(compound("ssss").kind(Kind::Tuplet).len(), 1);
    let two = compound("ss");
    assert!(two.kind(Kind::Tuplet).is_empty());
    assert_eq!(two.kind(Kind::Dot).len(), 2);
}

// Rests.

#[test]
fn a_silent_bar_has_a_whole_rest_in_its_middle_under_the_fourth_line() {
    // Gould, "Whole-bar rests".
    let p = fill("s s s s | . . . .");
    let rest = p.kind(Kind::Rest).into_iter().find(|r| r.name == "restWhole").unwrap();
    assert!(near(rest.origin.1, -1.0) && near(rest.ink.y0, -1.0), "{:?}", rest.ink);
    let lines = p.kind(Kind::Barline);
    let centre = (lines[0].ink.x1 + lines[1].ink.x0) / 2.0;
    assert!((rest.centre() - centre).abs() < 0.3, "{} {centre}", rest.centre());
}

#[test]
fn a_half_rest_sits_on_the_middle_line_and_a_quarter_rest_is_centred() {
    let half = fill("s s . .");
    let rest = half.one(Kind::Rest);
    assert_eq!(rest.name, "restHalf");
    assert!(near(rest.ink.y1, 0.0));
    let quarter = fill("s s s .");
    assert!(quarter.one(Kind::Rest).middle().abs() < 0.3);
}

#[test]
fn two_silent_beats_are_one_rest_only_in_the_halves_of_a_bar_of_four() {
    // Gould, "Grouping of rests": the middle of the bar shows.
    let names = |row: &str| -> Vec<String> {
        fill(row).kind(Kind::Rest).iter().map(|r| r.name.clone()).collect()
    };
    assert_eq!(names(". . s s"), ["restHalf"]);
    assert_eq!(names("s . . s"), ["restQuarter", "restQuarter"]);
}

#[test]
fn rests_of_two_voices_stand_two_spaces_apart_from_the_middle() {
    // Gould, "Rests in double-stemmed writing".
    let p = groove("s.ss .sss s s", "k k..k .k k");
    let rests = p.kind(Kind::Rest);
    assert!(rests.iter().any(|r| near(r.origin.1, -2.0)), "{rests:?}");
    assert!(rests.iter().any(|r| near(r.origin.1, 2.0)));
}

#[test]
fn one_rest_stands_for_both_voices_where_they_rest_alike() {
    // Gould, "Rests in double-stemmed writing": in the middle of the staff, as in one voice.
    let p = groove("s.ss .sss s s", "k .k.k k k");
    let rests = p.kind(Kind::Rest);
    assert_eq!(rests.len(), 1, "{rests:?}");
    assert!(near(rests[0].origin.1, 0.0), "{rests:?}");
}

#[test]
fn a_ledger_line_passes_under_both_heads_of_a_second() {
    // Gould, "Ledger lines": it reaches out on both sides of what stands on it or beyond.
    let p = fill("c+d . . .");
    let ledgers = p.kind(Kind::Ledger);
    let heads = p.heads();
    assert_eq!((ledgers.len(), heads.len()), (1, 2));
    assert!(ledgers[0].ink.x0 < heads[0].ink.x0 - 0.2);
    assert!(ledgers[0].ink.x1 > heads[1].ink.x1 + 0.2);
}

#[test]
fn grace_notes_of_two_voices_stand_one_after_the_other() {
    // Common practice, no source: neither is printed over the other.
    let p = Picture::of("fill a\n  counts: none\n  hands s 's s s\n  feet  k 'k k k\n");
    let graces = p.kind(Kind::Grace);
    let heads: Vec<_> = graces.iter().filter(|g| g.name == "noteheadBlack").collect();
    assert_eq!(heads.len(), 2);
    assert!((heads[0].centre() - heads[1].centre()).abs() > 1.2, "{heads:?}");
}

#[test]
fn signs_stand_by_a_head_that_was_moved_for_the_other_voice() {
    // Common practice, no source.
    let p = Picture::of("fill a\n  counts: none\n  hands t s s s\n  feet  M k k k\n");
    let accent = p.one(Kind::Accent);
    let low = p.heads().into_iter().find(|h| near(h.origin.1, -1.0)).unwrap();
    assert!((accent.centre() - low.centre()).abs() < 0.1, "{accent:?} {low:?}");
}

#[test]
fn a_hairpin_goes_on_after_the_end_of_a_line() {
    // Gould, "Hairpins": it is neither closed nor fully open where it is broken.
    let p =
        Picture::of("fill a\n  bars: 1\n  play  s s s s | s s s s\n  dyn   p < . . | . . . f\n");
    let pins = p.kind(Kind::Hairpin);
    let line = |line: usize| {
        let own: Vec<_> = pins.iter().filter(|pin| pin.line == line).collect();
        own.iter().map(|pin| pin.ink.y1).fold(f64::MIN, f64::max)
            - own.iter().map(|pin| pin.ink.y0).fold(f64::MAX, f64::min)
    };
    assert_eq!(pins.len(), 4);
    assert!(line(0) < line(1), "{} {}", line(0), line(1));
    assert!(line(0) > 0.5);
}

#[test]
fn no_tie_is_drawn_where_a_repeat_sign_stands_for_its_notes() {
    // Common practice, no source.
    let text = "fill a\n  counts: none\n  play  s//_S.s s s s | % | s s s s//___ | % | s s s s\n";
    let p = Picture::of(text);
    let signs = p.kind(Kind::BarRepeat);
    let ties = p.kind(Kind::Tie);
    assert_eq!((signs.len(), ties.len()), (2, 3), "{ties:?}");
    for sign in signs {
        assert!(ties.iter().all(|t| t.ink.x1 < sign.ink.x0 || t.ink.x0 > sign.ink.x1), "{ties:?}");
    }
}

#[test]
fn an_ending_and_a_tie_go_on_after_the_end_of_a_line() {
    // Gould, "Endings" and "Ties".
    let p = Picture::of(
        "fill a\n  bars: 1\n  play  |: s s s s | s s s s//_ | s s s s :| s s s s\n  mark  . | 1. | . | 2.\n",
    );
    let on = |kind: Kind, line: usize| p.kind(kind).iter().filter(|m| m.line == line).count();
    // A line and its left hook with the number; a line with the number again and its right hook.
    assert_eq!((on(Kind::Ending, 1), on(Kind::Ending, 2)), (3, 3));
    assert_eq!((on(Kind::Tie, 1), on(Kind::Tie, 2)), (1, 1));
    let tie = p.kind(Kind::Tie).into_iter().find(|t| t.line == 2).unwrap();
    let clef = p.kind(Kind::Clef).into_iter().find(|c| c.line == 2).unwrap();
    assert!(tie.ink.x0 > clef.ink.x1, "{tie:?}");
}

#[test]
fn a_longer_note_keeps_more_room_than_a_shorter_neighbour_in_every_style() {
    // Gould, "Spacing": twice as long is clearly wider; here at least by a quarter, on the tightest
    // line too (no source).
    for style in ["handout", "book", "stand", "screen"] {
        let picture = Picture::of(&format!(
            "style: {style}\n\nexercise\n  bars: 1\n  play  ss sssssss s ss | s sssssss sssssss sssssss\n"
        ));
        for line in 0..2 {
            let heads: Vec<_> = picture.heads().into_iter().filter(|h| h.line == line).collect();
            for pair in heads.windows(3) {
                let [a, b, c] = [0, 1, 2].map(|i| (pair[i].ink.x0, pair[i].beat.unwrap()));
                let (room, next) = (b.0 - a.0, c.0 - b.0);
                let (time, after) = ((b.1 - a.1).as_f64(), (c.1 - b.1).as_f64());
                if pair[0].bar == pair[2].bar && time > 0.0 && after > 0.0 && time != after {
                    let (wide, narrow) = if time > after { (room, next) } else { (next, room) };
                    let least = 1.25_f64.powf((time / after).log2().abs());
                    assert!(wide >= narrow * least - 0.02, "{style}: {wide} and {narrow}, {least}");
                }
            }
        }
    }
}

/// How far the middle of the inner side of a tie is from the nearest line; its ink reaches from its
/// ends to there.
fn tie_middles(picture: &Picture) -> Vec<(f64, f64)> {
    picture.kind(Kind::Tie).iter().map(|tie| (tie.ink.y0, tie.ink.y1)).collect()
}

#[test]
fn ties_of_a_chord_curve_apart() {
    // Gould, "Ties": of a chord in one voice the upper ones curve up and the lower ones down.
    let picture = fill("s+t- -- -- -s");
    let mut ties = tie_middles(&picture);
    ties.sort_by(|a, b| a.0.total_cmp(&b.0));
    let heads = picture.heads();
    let (high, low) =
        (heads[1].middle().min(heads[0].middle()), heads[0].middle().max(heads[1].middle()));
    assert_eq!(ties.len(), 2);
    assert!(ties[0].0 < high - 0.4 && ties[0].1 < high + 0.3, "{ties:?} over {high}");
    assert!(ties[1].1 > low + 0.4 && ties[1].0 > low - 0.3, "{ties:?} under {low}");
}

#[test]
fn the_middle_of_a_tie_lies_in_a_space() {
    // Ross, "Ties": not on a staff line, wherever the tie is.
    for row in
        ["s- -- -- -s", "s- -s . .", "f- -- -- -f", "t- -- -- -t", "m- -m . .", "k- -- -- -k"]
    {
        for bars in ["", "  bars: 1\n"] {
            let picture = Picture::of(&format!("fill a \"A\"\n{bars}  play  {row} | s s s s\n"));
            for (top, bottom) in tie_middles(&picture) {
                // The outer edge of its middle is half a tie's thickness beyond it (SMuFL).
                let below = picture.heads()[0].middle() < (top + bottom) / 2.0;
                let apex = if below { bottom - 0.11 } else { top + 0.11 };
                let off = (apex - apex.round()).abs();
                assert!(apex.abs() > 2.2 || off > 0.2, "{row}: {apex}");
            }
        }
    }
}

#[test]
fn a_tie_from_the_line_before_is_two_spaces_long_and_clear_of_the_clef() {
    // Gould, "Ties over a system break".
    let picture = Picture::of("fill a \"A\"\n  bars: 1\n  play  s - - - | - - s s\n");
    let ties = picture.kind(Kind::Tie);
    let clef = picture.kind(Kind::Clef)[1].ink;
    let stub = ties.iter().map(|tie| tie.ink).min_by(|a, b| a.x0.total_cmp(&b.x0)).unwrap();
    assert!(stub.width() >= 1.95, "{}", stub.width());
    assert!(stub.x0 > clef.x1, "{} after {}", stub.x0, clef.x1);
}

#[test]
fn a_pickup_is_neither_counted_nor_numbered() {
    // Gould, "Bar numbers": the first complete bar is bar 1.
    let picture = Picture::of(
        "fill a \"A\"\n  bars: 2\n  pickup: 1/4\n  play  s | s s s s | s s s s | s s s s | s s s\n",
    );
    assert_eq!(picture.one(Kind::BarNumber).name, "3");
}

#[test]
fn rests_begin_on_multiples_of_themselves() {
    // Gould, "Grouping of rests".
    let p = Picture::of("fill a\n  counts: none\n  play  ...s s... s s\n");
    let names: Vec<&str> = p.kind(Kind::Rest).iter().map(|r| r.name.as_str()).collect();
    assert_eq!(names, ["rest8th", "rest16th"]);
}

// Ornaments.

#[test]
fn a_flam_is_one_small_slashed_note_before_the_beat() {
    // Gould, "Grace notes": 60 to 75 per cent of full size, before the beat.
    let p = fill("'s . . .");
    let grace =
        p.kind(Kind::Grace).into_iter().find(|m| m.name == "noteheadBlack").unwrap().clone();
    assert!((0.6..=0.75).contains(&grace.scale), "{}", grace.scale);
    assert!(grace.ink.x1 < p.heads()[0].ink.x0);
    assert!(near(grace.middle(), p.heads()[0].middle()));
    assert_eq!(p.kind(Kind::GraceSlash).len(), 1);
}

#[test]
fn a_drag_is_two_beamed_notes_and_a_ruff_three_without_a_slash() {
    // Gould, "Grace notes": beamed as sixteenths.
    for (row, count) in [("''s . . .", 2), ("'''s . . .", 3)] {
        let p = fill(row);
        let grace = p.kind(Kind::Grace);
        let heads = grace.iter().filter(|m| m.name == "noteheadBlack").count();
        assert_eq!((heads, grace.len()), (count, count * 2 + 2));
        assert!(p.kind(Kind::GraceSlash).is_empty());
    }
}

#[test]
fn strokes_count_the_halvings_of_a_note() {
    // Gould, "Tremolos"; SMuFL tremolo1 to tremolo3.
    for (row, glyph) in [("s/", "tremolo1"), ("s//", "tremolo2"), ("s///", "tremolo3")] {
        let p = fill(&format!("{row} . . ."));
        let stroke = p.one(Kind::Stroke);
        assert_eq!(stroke.name, glyph);
        let stem = p.one(Kind::Stem);
        assert!((stroke.centre() - stem.centre()).abs() < 0.15, "on the stem");
        assert!(stroke.ink.y1 < p.heads()[0].ink.y0 && stroke.ink.y0 > stem.ink.y0);
    }
}

#[test]
fn a_buzz_is_a_z_on_the_stem() {
    // SMuFL buzzRoll; common practice, no source.
    assert_eq!(fill("s~ . . .").one(Kind::Buzz).name, "buzzRoll");
}

#[test]
fn a_ghost_stands_in_brackets_of_its_own_height() {
    // Weinberg, "Ghost notes": in parentheses.
    let p = fill("(s) . . .");
    let brackets = p.kind(Kind::GhostBracket);
    let head = p.heads()[0];
    assert_eq!(brackets.len(), 2);
    assert!(brackets[0].ink.x1 < head.ink.x0 && brackets[1].ink.x0 > head.ink.x1);
    assert!(brackets.iter().all(|b| near(b.middle(), head.middle())));
}

#[test]
fn accents_stand_outside_the_staff_at_the_free_end_of_the_stem() {
    // Gould, "Articulation": outside the staff.
    for (row, count) in [("S . . .", 1), ("K . . .", 1), ("SSSS . . .", 4)] {
        let p = fill(row);
        let accents = p.kind(Kind::Accent);
        assert_eq!(accents.len(), count, "{row}");
        assert!(accents.iter().all(|accent| accent.ink.y1 < -2.0), "{row}");
    }
    let feet = Picture::of("groove a\n  counts: none\n  hands s s s s\n  feet  K . . .\n");
    assert!(feet.one(Kind::Accent).ink.y0 > 2.0);
}

#[test]
fn a_dot_stands_in_a_space() {
    // Gould, "Augmentation dots": beside a head in a space, in the space over a head on a line.
    let p = fill("s..s m..m . .");
    let dots = p.kind(Kind::Dot);
    assert!(near(dots[0].middle(), -0.5) && near(dots[1].middle(), -1.5), "{dots:?}");
}

#[test]
fn heads_a_step_apart_stand_on_both_sides_of_the_stem() {
    // Gould, "Seconds".
    let p = fill("s+m . . .");
    let heads = p.heads();
    assert!(heads[1].ink.x0 - heads[0].ink.x0 > 0.9);
    assert!(heads[0].middle() > heads[1].middle(), "the lower head on the left");
}

#[test]
fn a_tie_hangs_on_the_side_away_from_the_stem() {
    // Gould, "Ties".
    let p = fill("s//_S. . . .");
    let tie = p.one(Kind::Tie);
    assert!(tie.ink.y0 > p.heads()[0].middle());
    assert!(tie.ink.x0 > p.heads()[0].ink.x0 && tie.ink.x1 < p.heads()[1].ink.x1);
}

// Spacing.

#[test]
fn twice_the_time_gets_less_than_twice_the_room() {
    // Gould, "Horizontal spacing", and the brief: about 1 to 1.4 for each doubling.
    let p = fill("ssss ss s s");
    let beat = |n: i64, d: i64| {
        let at = flamacue::score::Time::new(n, d);
        p.heads().into_iter().find(|h| h.beat == Some(at)).map(Seen::centre).unwrap()
    };
    let sixteenth = beat(5, 4) - beat(1, 1);
    let eighth = beat(5, 2) - beat(2, 1);
    let quarter = beat(4, 1) - beat(3, 1);
    for ratio in [eighth / sixteenth, quarter / eighth] {
        assert!((1.3..=1.5).contains(&ratio), "{ratio}");
    }
}

// Bars and signs.

#[test]
fn a_block_ends_on_a_thin_and_a_thick_line() {
    // Gould, "Barlines"; Stone.
    let p = fill("s s s s");
    let bars = p.kind(Kind::Barline);
    assert_eq!(bars.len(), 2);
    assert!(bars[0].ink.width() < bars[1].ink.width() && bars[0].ink.x1 < bars[1].ink.x0);
    assert!(near(bars[1].ink.x1, p.kind(Kind::StaffLine)[0].ink.x1));
}

#[test]
fn barlines_reach_from_the_bottom_line_to_the_top_line() {
    let p = fill("s s s s");
    let bar = p.one(Kind::Barline);
    assert!(near(bar.ink.y0, -2.0) && near(bar.ink.y1, 2.0));
}

#[test]
fn repeat_dots_stand_in_the_two_middle_spaces() {
    // Gould, "Repeat barlines".
    let p = fill("|: s s s s :|");
    let dots = p.kind(Kind::RepeatDot);
    assert_eq!(dots.len(), 4);
    assert!(dots.iter().all(|d| near(d.middle().abs(), 0.5)));
}

#[test]
fn a_first_note_stands_as_far_from_the_sign_of_a_repeat_after_a_time_signature_as_without() {
    // Common practice, no source: a head never nearer than half a space.
    let room = |play| {
        let p = fill(play);
        let (dots, heads) = (p.kind(Kind::RepeatDot), p.kind(Kind::Notehead));
        let after =
            heads.iter().map(|head| head.ink.x0 - dots[0].ink.x1).filter(|room| *room > 0.0);
        after.fold(f64::MAX, f64::min)
    };
    let (with_time, without) = (room("|: s s s s :|"), room("s s s s |: s s s s :|"));
    assert!(near(with_time, without), "{with_time} {without}");
    assert!(with_time > 0.5, "{with_time}");
}

#[test]
fn time_signatures_fill_the_halves_of_the_staff() {
    // SMuFL: digits two spaces high and centred on their origin.
    let p = fill("s s s s");
    let digits = p.kind(Kind::TimeSignature);
    assert!(near(digits[0].middle(), -1.0) && near(digits[1].middle(), 1.0));
    assert!((digits[0].centre() - digits[1].centre()).abs() < 0.2);
}

#[test]
fn the_clef_of_drums_stands_in_the_middle_of_the_staff() {
    let p = fill("s s s s");
    assert_eq!(p.one(Kind::Clef).name, "unpitchedPercussionClef1");
    assert!(p.one(Kind::Clef).middle().abs() < NEAR);
}

#[test]
fn a_repeated_bar_is_a_sign_in_its_middle() {
    // Gould, "Bar repeats".
    let p = fill("s s s s | %");
    let sign = p.one(Kind::BarRepeat);
    let lines = p.kind(Kind::Barline);
    assert!(sign.middle().abs() < NEAR);
    assert!((sign.centre() - (lines[0].ink.x1 + lines[1].ink.x0) / 2.0).abs() < 0.3);
}

#[test]
fn rows_stand_under_the_staff_in_their_order() {
    // The engraving brief: dynamics, sticking, counts, words.
    let p = Picture::of(
        "fill a\n  play  s s s s\n  stick R L R L\n  dyn   p . f .\n  say   one two three four\n",
    );
    let y = |kind| p.one(kind).origin.1;
    assert!(2.0 < y(Kind::Dynamic) && y(Kind::Dynamic) < y(Kind::Sticking));
    assert!(y(Kind::Sticking) < y(Kind::Count) && y(Kind::Count) < y(Kind::Words));
}

#[test]
fn a_hairpin_opens_by_a_space_to_a_space_and_a_half() {
    // Gould, "Hairpins".
    let p = Picture::of("fill a\n  play  s s s s\n  dyn   < . . f\n");
    let pins = p.kind(Kind::Hairpin);
    let (top, bottom) = (
        pins.iter().map(|m| m.ink.y0).fold(f64::MAX, f64::min),
        pins.iter().map(|m| m.ink.y1).fold(f64::MIN, f64::max),
    );
    assert!((1.0..=1.5).contains(&(bottom - top)), "{}", bottom - top);
}

/// Divisions that begin where others end, in the middle of a beat of compound time, are each written:
/// `.[.s.][s~s.]` over two dotted beats is a quarter rest and two triplets of eighths.
#[test]
fn triplets_across_the_beats_of_compound_time_are_all_written() {
    let p = Picture::of("exercise\n  time: 6/8\n  counts: none\n  play  .[.s.][sss]:2\n");
    assert_eq!(p.heads().len(), 4);
    assert_eq!(p.kind(Kind::Rest).len(), 2);
    let threes = p.kind(Kind::Tuplet).into_iter().filter(|mark| mark.name == "tuplet3");
    assert_eq!(threes.count(), 2);
}
