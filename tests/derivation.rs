//! What is made from other blocks, and that its faults name what they are about. That each example
//! builds to the same pages when it is written out is a case in `tests/cases/written_out.rs`.

// Helpers outside of test functions may stop the test too.
#![allow(clippy::expect_used, clippy::panic)]

use flamacue::score;
use flamacue::source::{Diagnostics, Source};

fn read<T>(text: &str, what: fn(&Source, &mut Diagnostics) -> Option<T>) -> Result<T, String> {
    let source = Source::new("test.flam", text);
    let mut diagnostics = Diagnostics::default();
    let told = what(&source, &mut diagnostics);
    told.ok_or_else(|| diagnostics.render(&source, false))
}

fn expanded(text: &str) -> String {
    read(text, flamacue::expand).unwrap_or_else(|found| panic!("{found}"))
}

fn faults(text: &str) -> String {
    read(text, flamacue::explain).expect_err("a fault")
}

const GALLOP: &str =
    "fill gallop \"Gallop home\"\n  play S.ss Ttt. .m.m f.F.\n  stick R.RL RLR. .L.R L.R.\n";

/// The rows `lines` make of the gallop.
fn varied(lines: &str) -> Vec<String> {
    let text = expanded(&format!("{GALLOP}\nvariation of gallop\n  {lines}\n"));
    let rows = text.lines().skip(4).filter(|l| l.starts_with("  "));
    rows.map(|l| l.split_whitespace().collect::<Vec<_>>().join(" ")).collect()
}

/// Each line against what a drummer writes for it. Common practice, no source.
#[test]
fn each_line_does_what_it_says() {
    let stick = "stick R.RL RLR. .L.R LR";
    for (line, rows) in [
        ("gaps: k", ["play Skss Tttk kmkm fkFk", stick]),
        ("taps: diddle", ["play S.s/s/ Tt/t/. .m/.m/ f/.F.", stick]),
        ("taps: ghost", ["play S.(s)(s) T(t)(t). .(m).(m) (f)F", stick]),
        ("taps: drop", ["play S T . .F", "stick R R . .R"]),
        ("accents: only", ["play S T . .F", "stick R R . .R"]),
        ("accents: drop", ["play s.ss ttt. .m.m ff", stick]),
        ("accents: on &", ["play s.Ss ttT. .m.m fF", stick]),
        ("accents: every 3 notes", ["play S.ss Ttt. .M.m fF", stick]),
        ("right: floor", ["play F.fs Ftf. .m.f fF", stick]),
        ("move: snare to cowbell", ["play W.ww Ttt. .m.m fF", stick]),
        ("move: left to kick", ["play S.sk Tkt. .k.m kF", "stick RR RR ...R .R"]),
        ("accents: flam", ["play 'S.ss 'Ttt. .m.m f'F", "stick lR.RL lRLR. .L.R LlR"]),
        ("order: snare floor", ["play S.ss Fff. .s.s fF", stick]),
        ("lead: left", ["play S.ss Ttt. .m.m fF", "stick L.LR LRL. .R.L RL"]),
        ("shift: one eighth", ["play FS ssTt t..m .mf.", "stick RR RLRL R..L .RL."]),
        ("rotate: 3 notes", ["play Ttt. .m.m fF S.ss", "stick RLR. .L.R LR R.RL"]),
        ("rotate: one beat", ["play Ttt. .m.m fF S.ss", "stick RLR. .L.R LR R.RL"]),
        ("backwards: yes", ["play .F.f mm .ttT ss.S", "stick .R.L RL .RLR LR.R"]),
    ] {
        assert_eq!(varied(line), rows, "{line}");
    }
}

#[test]
fn faults_name_the_variation_and_its_parent() {
    let fault = |lines: &str| faults(&format!("{GALLOP}\n{lines}"));
    for (lines, says) in [
        (
            "variation x of galop\n  gaps: k\n",
            "variation `x` of `galop`: no block above is named `galop`",
        ),
        ("variation x of galop\n  gaps: k\n", "did you mean `gallop`?"),
        ("variation x of y\n  gaps: k\n\nfill y\n  play s s s s\n", "move `y` up"),
        ("variation x of x\n  gaps: k\n", "variation `x` of `x`: no block above"),
        ("variation x\n  gaps: k\n", "does not say what it is a variation of"),
        ("variation x of gallop\n  gasp: k\n", "did you mean `gaps:`?"),
        ("variation x of gallop\n  gaps: qq\n", "`qq` is not a value for `gaps`"),
        ("variation x of gallop\n  order: snare flor\n", "did you mean `floor`?"),
        ("variation x of gallop\n  tempo: fast\n", "`fast` is not a value for `tempo`"),
        (
            "variation x of gallop\n  accents: drop\n  accents: only\n",
            "variation `x` of `gallop`: it has no accent in the hands",
        ),
    ] {
        let found = fault(lines);
        assert!(found.contains(says), "{lines}\n{found}");
    }
}

/// A rule's letters become rows that are read as the same letters; a line in the header stays.
#[test]
fn made_stickings_are_written_out_and_told() {
    let text = "stick: natural\n\nfill a\n  play s.ss sss s s // quick\n\nfill b\n  stick: alternate\n  play s.ss | s\n  --\n  time: 3/4\n  play s ss s\n\ngroove c\n  hat x x x x\n";
    let text = text.replace("s.ss | s\n", "s.ss s s s | s.ss s s s\n");
    let plain = "stick: natural\n\nfill a\n  play s.ss sss s s\n  stick  R.RL RLR R R // quick\n\nfill b\n  stick  R.LR L R L | R.LR L R L\n  play s.ss s s s | s.ss s s s\n  --\n  time: 3/4\n  play s ss s\n  stick  R LR L\n\ngroove c\n  hat x x x x\n";
    assert_eq!(expanded(&text), plain);
    assert_eq!(expanded(plain), plain);
    let told = read(&text, flamacue::explain).expect("no fault");
    for part in [
        "fill a    (line 3)",
        "`stick: natural`: each hand keeps its places",
        "`stick: alternate`: the hands take turns, the right hand first",
        "R LR L",
    ] {
        assert!(told.contains(part), "{part}\n{told}");
    }
}

/// What is changed in a parent is changed in all that is made from it, through the whole program:
/// notes, accents, counting, stickings, numbers.
#[test]
fn a_changed_parent_changes_all_its_children() {
    let file = |parent: &str| {
        format!(
            "title: T\ncounts: played\n\n{LOFT}fill seed \"Seed\"\n  stick: natural\n  play {parent}\n\n\
             variation ghosts of seed \"G\"\n  taps: ghost\n\n\
             variation left of ghosts \"L\"\n  lead: left\n\n\
             context \"C\"\n  play: loft, left\n\n\
             series of seed \"S\"\n  turns: yes\n"
        )
    };
    let blocks = |parent: &str| {
        let source = Source::new("test.flam", file(parent));
        let mut diagnostics = Diagnostics::default();
        let score = flamacue::understand(&source, &mut diagnostics);
        assert!(!diagnostics.has_errors(), "{}", diagnostics.render(&source, false));
        let blocks = score.items.into_iter().filter_map(|item| match item {
            score::Item::Block(block) if block.name.as_deref() != Some("loft") => Some(block),
            _ => None,
        });
        blocks.collect::<Vec<_>>()
    };
    let told = |block: &score::Block| {
        let bar = block.part.bars.last().expect("a bar");
        let counts: Vec<&str> = bar.counts.iter().map(|c| c.text.as_str()).collect();
        let letters: String =
            bar.sticking.iter().map(|s| format!("{:?}", s.hand).remove(0)).collect();
        (counts.join(" "), letters)
    };
    let before = blocks("S.ss S S S");
    let after = blocks("S.sS S SS S");
    assert_eq!((before.len(), after.len()), (5, 5));
    for (index, (old, new)) in before.iter().zip(&after).enumerate() {
        assert_eq!(old.number, new.number);
        assert!(told(old) != told(new), "block {index} stays: {:?}", told(old));
    }
    // The parent, its variation, the variation's variation and the context.
    assert_eq!(told(&before[0]), ("1 & a 2 3 4".into(), "RRLRRR".into()));
    assert_eq!(told(&after[0]), ("1 & a 2 3 & 4".into(), "RRLRRRR".into()));
    assert_eq!(told(&after[1]), told(&after[0]));
    assert_eq!(told(&after[2]), ("1 & a 2 3 & 4".into(), "LLRLLLL".into()));
    assert_eq!(told(&after[3]).1, "LLRLLLL");
    let ghosts = |block: &score::Block| {
        let hits = block.part.bars.iter().flat_map(|b| &b.upper.hits);
        hits.filter(|h| h.strikes.iter().any(|s| s.ghost)).count()
    };
    // An accent more is a ghost note less.
    assert_eq!((ghosts(&before[1]), ghosts(&after[1])), (2, 1));
    // One exercise for each note of the parent.
    assert_eq!((before[4].part.bars.len(), after[4].part.bars.len()), (6, 7));
}

#[test]
fn every_line_is_explained() {
    let text = format!("{GALLOP}\nvariation x of gallop\n  gaps: k\n  taps: ghost\n  lead: left\n");
    let told = read(&text, flamacue::explain).expect("no fault");
    for part in ["it starts as `gallop`", "1. `gaps: k`", "2. `taps: ghost`", "3. `lead: left`"] {
        assert!(told.contains(part), "{part}\n{told}");
    }
}

const LOFT: &str = "groove loft \"Loft\"\n  hat xx xx xx xx\n  kick x . x .\n\n";

/// The hands' row of a context of the loft groove and the gallop.
fn hands(lines: &str) -> String {
    let text = expanded(&format!("{LOFT}{GALLOP}\ncontext \"C\"\n  {lines}\n"));
    let row = text.lines().rfind(|l| l.trim_start().starts_with("hands")).expect("a row");
    row.split_whitespace().skip(1).collect::<Vec<_>>().join(" ")
}

#[test]
fn a_context_plays_its_blocks_in_order() {
    assert_eq!(hands("play: loft x3, gallop"), "hh hh hh hh | % | % | S.ss Ttt. .m.m fF");
    assert_eq!(hands("play loft x2 ending gallop"), "hh hh hh hh | S.ss Ttt. .m.m fF");
    assert_eq!(
        hands("play: loft\n  endings: gallop, loft"),
        "|: hh hh hh hh | S.ss Ttt. .m.m fF :| hh hh hh hh"
    );
}

/// Up to its place the groove goes on, round from its first bar; under the fill go on what is named.
#[test]
fn a_fill_comes_in_at_its_place() {
    assert_eq!(hands("play: loft, gallop from 2 &"), "hh hh hh hh | hh ht .m.m fF");
    assert_eq!(hands("play: loft, gallop from 3"), "hh hh hh hh | hh hh .m.m fF");
    assert_eq!(hands("play: loft x2 ending gallop from 3"), "hh hh hh hh | hh hh .m.m fF");
    assert_eq!(hands("play: loft, gallop from 4 over hat"), "hh hh hh hh | hh hh hh f+hF+h");
    assert_eq!(hands("play: loft\n  from: 4\n  play s s s tm"), "hh hh hh hh | hh hh hh tm");
    let feet = |lines: &str| {
        let text = expanded(&format!("{LOFT}{GALLOP}\ncontext \"C\"\n  {lines}\n"));
        let row = text.lines().rfind(|l| l.trim_start().starts_with("feet")).expect("a row");
        row.split_whitespace().skip(1).collect::<Vec<_>>().join(" ")
    };
    assert_eq!(feet("play: loft, gallop from 3"), "k . k . | k . . .");
    assert_eq!(feet("play: loft, gallop from 3 over kick"), "k . k . | k . k .");
}

/// A pickup falls before the barline, into the groove.
#[test]
fn a_pickup_falls_into_the_bar_before() {
    let side = "fill side\n  pickup: 1/4\n  play tt | s s s\n\n";
    let row = |lines: &str| {
        let text = expanded(&format!("{LOFT}{side}context \"C\"\n  {lines}\n"));
        let row = text.lines().rfind(|l| l.trim_start().starts_with("hands")).expect("a row");
        row.split_whitespace().skip(1).collect::<Vec<_>>().join(" ")
    };
    assert_eq!(row("play: loft, side"), "hh hh hh tt | s s s .");
    assert_eq!(row("play: loft, side x2"), "hh hh hh tt | s s s tt | s s s .");
    assert_eq!(row("play: loft, side, loft"), "hh hh hh tt | s s s . | hh hh hh hh");
    assert_eq!(row("play: side, loft"), "tt | s s s . | hh hh hh hh");
}

/// What stands under and over the notes of joined blocks is there where they are joined.
#[test]
fn nothing_that_hangs_on_the_notes_is_lost() {
    let soft = "groove soft\n  play s s s s\n  dyn p . <\n  say . \"two\"\n  mark A+\"lean\"\n\n";
    let loud = "fill loud\n  play t t t t\n  dyn f . . !\n  mark . fermata\n\n";
    let loud = loud.replace(" . . !", "");
    let text = expanded(&format!("{soft}{loud}context \"C\"\n  play: soft, soft, loud\n"));
    let made = text.split("groove \"C\"").nth(1).expect("the context");
    let rows: Vec<String> =
        made.lines().map(|l| l.split_whitespace().collect::<Vec<_>>().join(" ")).collect();
    for row in [
        "play s s s s | s s s s | t t t t",
        "dyn p . < | p . < | f",
        "say . \"two\" | . \"two\"",
        "mark A+\"lean\" | \"lean\" | . fermata",
    ] {
        assert!(rows.iter().any(|own| own == row), "{row}\n{made}");
    }
}

/// The context has the number, the title and the name of a fill that is printed in it.
#[test]
fn a_fill_is_printed_in_its_context() {
    let gallop = GALLOP.replace("\n  play", "\n  print: in context\n  play");
    let text =
        format!("{LOFT}{gallop}\ncontext \"out\"\n  play: loft x3, gallop\n\nSee @gallop.\n");
    let plain = expanded(&text);
    assert!(plain.contains("fill gallop \"Gallop home (out)\""), "{plain}");
    assert_eq!(plain.matches("gallop").count(), 2, "{plain}");
    assert!(expanded(&plain) == plain);
    let twice = format!("{text}\ncontext \"again\"\n  play: gallop\n");
    assert!(expanded(&twice).contains("groove \"again\""));
    let none = format!("{LOFT}{gallop}\n");
    assert!(faults(&none).contains("no context plays it"), "{}", faults(&none));
    let header = format!("print: in context\n\n{LOFT}{GALLOP}\ncontext\n  play: loft x3, gallop\n");
    assert!(expanded(&header).contains("  print: here\n"));
}

#[test]
fn faults_name_the_context_and_its_block() {
    let other = "fill up \"Up\"\n  pickup: 1/2\n  play s s | s s s s\n\ngroove small\n  time: 1/4\n  hat xx\n\nfill waltz\n  time: 3/4\n  play s s s\n\n";
    let fault = |lines: &str| faults(&format!("{LOFT}{GALLOP}\n{other}context c\n  {lines}\n"));
    for (lines, says) in [
        ("play: loft x3, galop", "context `c`: no block above is named `galop`"),
        ("play: loft x3 gallop", "does not say which block is played how often"),
        ("play: small, up", "context `c`: the pickup of `up` is longer than the bar it falls into"),
        ("play: loft ending waltz", "`waltz` does not fit in place of the last bar of `loft`"),
        ("play: loft\n  endings: gallop", "name two endings or more"),
        ("play: loft x99, loft x99, loft x99", "more than 256 bars"),
        ("tempo: 80", "it does not say what is played"),
        ("play: loft\n  plai: loft", "did you mean `play:`?"),
    ] {
        let found = fault(lines);
        assert!(found.contains(says), "{lines}\n{found}");
    }
}

/// A note changed in the parent is changed in all that is made from it.
#[test]
fn what_is_made_follows_its_parent() {
    let made = "\nvariation x of gallop\n  lead: left\n\ncontext\n  play: x, gallop\n";
    let text =
        expanded(&format!("{}{made}", GALLOP.replace("f.F.", "c.k.").replace("L.R.", "L...")));
    assert_eq!(text.matches(" ck").count(), 3, "{text}");
}

/// The bars of the row `row` that `lines` make in 1/4.
fn series(row: &str, lines: &str) -> Vec<String> {
    let text = expanded(&format!("{GALLOP}\nseries s \"S\"\n  time: 1/4\n  {lines}\n"));
    let line = text.lines().rfind(|l| l.trim_start().starts_with(row)).expect("a row");
    let cells = line.trim_start().trim_start_matches(row).replace("||", "|");
    cells.split('|').map(|bar| bar.trim().to_owned()).collect()
}

#[test]
fn a_series_goes_through_everything_once() {
    assert_eq!(
        series("play", "accents: 2 of ssss"),
        ["SSss", "SsSs", "SssS", "sSSs", "sSsS", "ssSS"]
    );
    assert_eq!(series("play", "notes: 1 of 3 on floor"), ["f", ".f.", "..f"]);
    assert_eq!(
        series("stick", "stickings: 4, lead left"),
        ["LLRL", "LLRR", "LRLL", "LRLR", "LRRL"]
    );
    assert_eq!(series("stick", "stickings: 4\n  order: easy")[0], "RLRL");
    assert_eq!(series("play", "notes: 2 of 4\n  turnings: once").len(), 2);
    assert_eq!(series("play", "accents: 2 of ssss\n  at-most: 3").len(), 3);
    assert_eq!(series("hands", "hands: ssss, s.ss\n  feet: k, kk").len(), 4);
    assert_eq!(series("play", "accents: 1 of ss\n  taps: ghost"), ["S(s)", "(s)S"]);
}

/// All accents on sixteen sixteenths, two at a time: 16 over 2 (*Concrete Mathematics*, from
/// memory).
#[test]
fn a_series_is_as_long_as_the_binomial() {
    let text = expanded("series \"S\"\n  accents: 2 of ssss ssss ssss ssss\n");
    assert_eq!(text.matches("||").count() + 1, 120);
}

#[test]
fn faults_of_a_series_name_it() {
    for (lines, says) in [
        ("accents: 5 of ssss", "series `s`: `5 of ssss` is not a value for `accents`"),
        ("stickings: 16 sixteenths, at most 16 in a row", "more than 20000 exercises are too many"),
        ("notes: 8 of 16 sixteenths", "12870 exercises are too many"),
        ("order: easy", "it does not say what it goes through"),
        ("turns: yes", "it does not say which block is turned"),
        ("accents: 2 of ssss\n  turns: yes", "it goes through two things at once"),
        ("accents: 2 of ssss\n  atmost: 3", "did you mean `at-most:`?"),
        ("hands: qs\n  feet: k", "`qs` can't be read as cells; write the letters of the kit"),
        (
            "accents: 1 of ss\n  right: floor",
            "series `s`, exercise 1: it has no letter for the right hand",
        ),
    ] {
        let found = faults(&format!("series s \"S\"\n  {lines}\n"));
        assert!(found.contains(says), "{lines}\n{found}");
    }
}

/// No letter names the half-open hi-hat; what is written out names it by the row of the kit's hi-hat.
#[test]
fn a_renamed_hat_is_written_out_under_its_name() {
    let kit = "kit\n  h clang\n\n";
    let text = format!(
        "{kit}fill a\n  clang h.h. x.x. h.h. x.x.\n\nvariation of a\n  shift: one sixteenth\n"
    );
    let written = expanded(&text);
    assert!(written.matches("  clang").count() == 2 && !written.contains("hat"), "{written}");
    expanded(&written);
}

/// What has no letters gets none where it is written out, whatever rule holds around it.
#[test]
fn what_has_no_letters_is_written_out_without_a_rule() {
    let text = "stick: alternate\n\ngroove g \"G\"\n  hat   xx xx xx xx\n  snare . x . x\n\n\
                series of g \"Turns\"\n  turns: yes\n";
    let plain = expanded(text);
    assert!(plain.contains("exercise \"Turns\"\n  stick: written\n"), "{plain}");
    // A rule of its own is written out as its letters.
    let own = expanded("stick: alternate\n\nseries \"Two\"\n  accents: 2 of ssss\n");
    assert!(!own.contains("written") && own.contains("  stick  "), "{own}");
}

/// What stands at the notes stays at them.
#[test]
fn small_notes_slashes_and_other_hands_are_kept() {
    let text = "fill step \"Step\"\n  play {t}S.ss / s?(S)ss c_\n  stick lR.LR R(L)LRL R\n\nvariation of step\n  accents: drop\n";
    let rows = expanded(text);
    let rows: Vec<&str> = rows.lines().skip(4).map(str::trim).collect();
    assert!(rows.iter().any(|row| row.contains("{t}s.ss")), "{rows:?}");
    assert!(rows.iter().any(|row| row.contains(" / ") && row.contains("c_")), "{rows:?}");
    assert!(rows.iter().any(|row| row.contains("s?(s)ss")), "{rows:?}");
    assert!(rows.iter().any(|row| row.contains("R(L)")), "{rows:?}");
}
