//! That a text draws the same after `expand`, over rows made by chance: letters by rule, rows of hands and
//! feet that hold what the kit gives to the other limb, what is made of them, and one voice or two.

// Helpers outside of test functions may stop the test too.
#![allow(clippy::expect_used, clippy::panic)]

use flamacue::font::Fonts;
use flamacue::source::{Diagnostics, Source};
use flamacue::{compile_pages, write};
use proptest::prelude::*;
use std::sync::LazyLock;

static FONTS: LazyLock<Fonts> = LazyLock::new(|| Fonts::built_in().expect("the built-in faces"));

/// The pages of a text; nothing where it has faults.
fn pages(text: &str) -> Option<Vec<u8>> {
    let source = Source::new("test.flam", text);
    let drawing = compile_pages(&source, &FONTS, None, &mut Diagnostics::default())?;
    write::pdf::write(&drawing, &FONTS).ok()
}

fn expanded(text: &str) -> String {
    let source = Source::new("test.flam", text);
    let mut found = Diagnostics::default();
    let plain = flamacue::expand(&source, &mut found);
    plain.unwrap_or_else(|| panic!("{}\n{text}", found.render(&source, false)))
}

/// A bar of four beats of the given letters.
fn row(letters: &'static str) -> impl Strategy<Value = String> {
    let cell = prop::sample::select(letters.chars().collect::<Vec<_>>());
    let beat = prop::collection::vec(cell, 1..5).prop_map(String::from_iter);
    prop::collection::vec(beat, 4).prop_map(|beats| beats.join(" "))
}

/// The rows of a block.
fn rows() -> impl Strategy<Value = String> {
    let hands = || row("skhStf..").prop_map(|row| format!("  hands  {row}\n"));
    let feet = || row("kps.k").prop_map(|row| format!("  feet  {row}\n"));
    let play = row("skhSp.").prop_map(|row| format!("  play  {row}\n"));
    let both = (hands(), feet()).prop_map(|(hands, feet)| hands + &feet);
    prop_oneof![hands(), feet(), play, both]
}

/// What others are played beside it.
const OTHERS: &str = "fill f \"F\"\n  play  'S.st tkkt m/m/ F.(s).\n  dyn   f . >\n  mark  . \"here\"\n\n\
                      fill p \"P\"\n  pickup: 1/4\n  play  tt | S.ss k.mm ff\n\n";

/// What stands under and over its notes.
fn hanging() -> impl Strategy<Value = &'static str> {
    prop::sample::select(vec![
        "",
        "  dyn  p . < f\n",
        "  dyn  mp:1/2 <:1/2 . !\n  mark  A . . fermata\n",
        "  mark  \"lean\" tempo=120 swing breath\n",
    ])
}

fn rule() -> impl Strategy<Value = &'static str> {
    prop::sample::select(vec!["natural", "natural left", "alternate", "economy"])
}

/// What is made of the block, if anything.
fn made() -> impl Strategy<Value = &'static str> {
    prop::sample::select(vec![
        "",
        "variation of g\n  shift: one eighth\n",
        "variation of g\n  lead: left\n",
        "series of g \"All\"\n  turns: yes\n",
        "context \"Twice\"\n  play: g x2\n",
        "context \"In\"\n  play: g, f from 2 &\n",
        "context \"Over\"\n  play: g x2 ending f from 3 over kick\n",
        "context \"Round\"\n  play: g, f over kick foot-hat, p, g\n",
        "context c \"Rows\"\n  play: g x2\n  from: 2 e\n  over: kick\n  play  ssss tktk s m\n\n\
         variation of c \"Moved\"\n  accents: flam\n  move: snare to tom1\n",
        "fill q \"Q\"\n  print: in context\n  play s s s s\n\ncontext \"In\"\n  play: g x2, q from 4\n",
    ])
}

/// What one of several players plays.
fn player_rows() -> impl Strategy<Value = String> {
    prop_oneof![
        row("skhSp.").prop_map(|row| format!("    play  {row}\n")),
        (row("shSt."), row("kp.k")).prop_map(|(h, f)| format!("    hands  {h}\n    feet  {f}\n")),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 120, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn what_is_written_out_draws_the_same(
        word in prop::sample::select(vec!["groove", "exercise"]),
        (rule, over) in (rule(), any::<bool>()),
        hanging in hanging(),
        (voices, rows, made) in (prop::sample::select(vec!["", "  voices: one\n", "  voices: two\n"]), rows(), made()),
    ) {
        let (head, own) = match over {
            true => (format!("stick: {rule}\n\n"), String::new()),
            false => (String::new(), format!("  stick: {rule}\n")),
        };
        let text = format!("{head}{word} g \"G\"\n{own}{voices}{rows}{hanging}\n{OTHERS}{made}");
        if let Some(before) = pages(&text) {
            let plain = expanded(&text);
            prop_assert!(pages(&plain) == Some(before), "other pages from\n{plain}\nof\n{text}");
        }
    }

    /// Each of several players has as many voices as before.
    #[test]
    fn what_several_play_is_written_out_and_draws_the_same(
        (one, other) in (player_rows(), player_rows()),
        voices in prop::sample::select(vec!["", "    voices: one\n", "    voices: two\n", "    voices: by bar\n"]),
        made in prop::sample::select(vec![
            "context \"Twice\"\n  play: g x2\n",
            "context c \"Own\"\n  play: g x2\n\n  player \"Two\"\n    play  tttt mmmm ffff S\n\n\
             variation of c \"Moved\"\n  move: tom1 to floor\n",
            "context \"Late\"\n  play: g x3\n  from: 3\n\n  player \"One\"\n    play  t t F F\n",
            "variation of g \"Moved\"\n  move: snare to tom1\n",
        ]),
    ) {
        let text = format!("groove g \"G\"\n  player \"One\"\n{one}  player \"Two\"\n{voices}{other}\n{made}");
        if let Some(before) = pages(&text) {
            let plain = expanded(&text);
            prop_assert!(pages(&plain) == Some(before), "other pages from\n{plain}\nof\n{text}");
        }
    }
}
