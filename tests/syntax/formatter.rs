//! The formatter: what it makes of badly spaced files, and that it changes nothing but spaces.

use crate::formatted::checked;
use proptest::prelude::*;

#[test]
fn the_white_space_of_a_file_is_set_right() {
    let text = "\u{feff}title:   Kettle Lane   // book\r\n\
        time:3/4\r\n\
        \r\n\
        #    The fills   \n\
        Prose  stays\n\
        \t  as it is.   // but for this\n\
        - a list\n\
        \tgoes on\n\n\
        fill   gallop    \"Gallop home\"//x\n\n\
        \t// a comment\n\
        // another\n\
        \ttempo:66\n\
        \tplay S.ss | t   // the rhythm  \n\
        --\n \
        play s\n\n\n";
    // `//` right after the title's quotes is no comment.
    let text = text.replace("\"//x", "\" //x");
    insta::assert_snapshot!(checked(&text));
}

/// They are faults, but of what a series may say, and the form of the line is none.
#[test]
fn words_that_are_no_keys_get_one_colon() {
    let text = "series\n  at+-most: 2\n  taps2: ghost\n  taps3 ghost\n  a:b:: c\n  :  x\n  :: y\n";
    let set = "series\n  at+-most: 2\n  taps2: ghost\n  taps3: ghost\n  a: b:: c\n  : x\n  :: y\n";
    assert_eq!(checked(text), set);
}

#[test]
fn groups_of_a_set_stand_at_their_beats() {
    let text = "\
groove a
  hands  S.ss .s.s s///___ S... |% | (s)(s)(s)s s:2 ss:1/2 s:1/2
  feet  k... ..k. k... k... | k k k k | k [kk]k k k |: k :|x3
  stick R.LR .L.R R... L... | % | RLRL R R L
  dyn mf . \"very soft\" p | f:2 <:2
  mark A+\"softly\" | . . . \"a long phrase that moves nothing\" x
";
    insta::assert_snapshot!(checked(text));
}

#[test]
fn cells_stand_under_their_syllables() {
    let text = "\
fill a
  count 1 & a   2 e & (3 2 3 4 5)   4 & | 1
  play 's ''S c+k  sss ttttt  f [ff]|k
  stick lR llR B RLR R L R L R   L RL | R
  say right . . left
";
    insta::assert_snapshot!(checked(text));
}

/// The sample of the language's page on counting first, its spaces taken away.
#[test]
fn letters_stand_under_the_syllables_of_their_hits() {
    let text = "\
fill a
  count (1 2 3 4 5 6 7)  (2 2 3 4 5 6 7)  3 & 4 | 1 & a
  play S s k t t k k  M m k f f k k  S S F | k s+k s
  stick R L R L  R L R L  R L R | RL
  pedal R RL R RL | RR
";
    let set = "\
fill a
  count  (1 2 3 4 5 6 7)   (2 2 3 4 5 6 7)   3 & 4 | 1 &   a
  play    S s k t t k k     M m k f f k k    S S F | k s+k s
  stick   R L   R L         R L   R L        R L R |   RL
  pedal       R     RL          R     RL           | RR
";
    assert_eq!(checked(text), set);
}

#[test]
fn tables_are_set_evenly() {
    let text = "\
kit
  q cowbell,above 2 ,  x,hands,   sound 56
  j   saw
syllables mine
  3 tri  po   let
  12 a b c d e f g h i j k l
";
    insta::assert_snapshot!(checked(text));
}

#[test]
fn a_set_too_wide_to_align_is_spaced_singly() {
    let word = "a".repeat(5_000);
    let text = format!("fill a\n  say  {word}   b\n  count  {word}   b\n  play s   s\n");
    assert_eq!(
        checked(&text),
        format!("fill a\n  say    {word} b\n  count  {word} b\n  play   s s\n")
    );
}

#[test]
fn a_line_at_the_limit_does_not_grow_past_it() {
    let row = format!(" hat {}", "x|".repeat(49_990));
    assert!(row.chars().count() < 100_000);
    let once = checked(&format!("groove a\n{row}\n"));
    assert!(once.lines().all(|line| line.chars().count() <= 100_000));
}

// Files without faults, with white space thrown in wherever it means nothing.

fn space() -> impl Strategy<Value = &'static str> {
    prop::sample::select(vec![" ", " ", " ", "  ", "   ", "\t", " \t ", "      "])
}

fn one_of(words: &[&str]) -> impl Strategy<Value = String> + use<> {
    prop::sample::select(words.iter().map(|word| (*word).to_owned()).collect::<Vec<_>>())
}

fn cell() -> impl Strategy<Value = String> {
    one_of(&[
        "s", "S", "t", ".", "-", "_", "(s)", "'s", "''S", "s/", "s//", "s~", "c!", "^s", "c+k",
        "'s+k", "[ss]", "[s[kk]]",
    ])
}

fn cell_group() -> impl Strategy<Value = String> {
    (prop::collection::vec(cell(), 1..6), one_of(&["", "", "", "", ":2", ":1/2"]))
        .prop_map(|(cells, spread)| cells.concat() + &spread)
}

fn stick_group() -> impl Strategy<Value = String> {
    prop::collection::vec(one_of(&["R", "L", "B", "lR", ">L", "llR", ".", "-", "[RL]"]), 1..5)
        .prop_map(|cells| cells.concat())
}

fn count_group() -> impl Strategy<Value = String> {
    prop_oneof![
        6 => one_of(&["1", "2", "e", "&", "a", "trip", "let", "+"]),
        1 => (space(), space()).prop_map(|(a, b)| format!("({a}3{b}2 3{a})")),
        1 => Just("(5)".to_owned()),
    ]
}

fn word_group() -> impl Strategy<Value = String> {
    one_of(&["mf", "<", "!", ".", "\"very  soft\"", "“left // hand”", "right", "1."])
        .prop_filter("a comment would start in the quotes", |word| !word.contains(" //"))
}

fn bar() -> impl Strategy<Value = String> {
    one_of(&["|", "||", "|:", ":|", ":|x4", ":|   x3", ":|:", "| % |", "||:"])
}

/// A row's content: groups with spaces between, and bars with or without.
fn content(group: impl Strategy<Value = String>) -> impl Strategy<Value = String> {
    let piece = (group, space(), prop::option::weighted(0.2, (bar(), any::<bool>(), space())));
    prop::collection::vec(piece, 1..9).prop_map(|pieces| {
        let mut out = String::new();
        for (group, space, bar) in pieces {
            out.push_str(&group);
            match bar {
                // A spread is at its group's end only where the bar sign is set off from it.
                Some((bar, tight, space)) => {
                    let tight = tight && !bar.starts_with(':');
                    out.push_str(if tight { "" } else { space });
                    out.push_str(&bar);
                    out.push_str(space);
                }
                None => out.push_str(space),
            }
        }
        out.trim_end().to_owned()
    })
}

fn row() -> impl Strategy<Value = String> {
    let row = prop_oneof![
        3 => (one_of(&["play", "hands", "hat", "tom1"]), content(cell_group())),
        2 => (one_of(&["stick", "pedal"]), content(stick_group())),
        2 => (one_of(&["count"]), content(count_group())),
        1 => (one_of(&["dyn", "say", "mark"]), content(word_group())),
    ];
    prop_oneof![
        8 => (row, space(), space(), one_of(&["", "", "  ", " // a comment ", "\t//x"]))
            .prop_map(|((name, content), a, b, end)| format!("{a}{name}{b}{content}{end}\n")),
        1 => space().prop_map(|a| format!("{a}tempo:{a}66{a}\n")),
        1 => one_of(&["\n", "  // among rows\n", "// at the edge\n", " \t\n"]),
    ]
}

fn block() -> impl Strategy<Value = String> {
    let rows = prop::collection::vec(row(), 1..5).prop_map(|rows| rows.concat());
    let sure = content(cell_group()).prop_map(|content| format!("  play {content}\n"));
    (one_of(&["fill", "groove  name", "rudiment \"A  title\"", "exercise x1   “y”"]), sure, rows)
        .prop_flat_map(|(head, sure, rows)| {
            (Just(format!("{head}\n{sure}{rows}")), prop::option::of(Just("--\n  feet  k k\n")))
        })
        .prop_map(|(block, more)| block + more.unwrap_or(""))
}

fn file() -> impl Strategy<Value = String> {
    let prose = one_of(&[
        "Words  and *more*\nof them.   \n\n",
        "#  Heading\n",
        "- one\n   goes on\n- two\n\n",
        "\n",
        "// a comment   \n",
        "kit\n q   cowbell , x,above 2\n",
        "syllables z\n   3  a   b c\n",
    ]);
    let item = prop_oneof![2 => block(), 1 => prose];
    (one_of(&["", "title:x\ntime:   3/4\n\n"]), prop::collection::vec(item, 0..5))
        .prop_map(|(header, items)| header + &items.concat())
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 500, failure_persistence: None, ..ProptestConfig::default()
    })]

    #[test]
    fn generated_files_keep_their_trees(text in file()) {
        checked(&text);
    }
}

/// Blanks at the end of a line of indented code are part of it (CommonMark, "Indented code blocks").
#[test]
fn indented_code_keeps_the_blanks_at_its_ends() {
    for text in ["    code one \n", "Words.\n\n    code one  \n    two \n\nWords.\n"] {
        assert_eq!(checked(text), text);
    }
}

/// A line of blanks that are not the plain one is a blank line.
#[test]
fn a_line_of_odd_blanks_is_blank() {
    for text in ["Words.\n\u{a0}\nMore.\n", "fill \"N\"\n\u{2003}\n"] {
        assert!(!checked(text).contains(['\u{a0}', '\u{2003}']), "{text:?}");
    }
}
