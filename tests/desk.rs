//! The desk: what a page asks of a text, and what it is answered.

#![allow(clippy::expect_used, clippy::panic)]

use flamacue::assist::findings;
use flamacue::desk::{Ask, Desk, FileError, Hear, HearError, PAGE, Seen, SentPages, Within};
use flamacue::font::Fonts;
use flamacue::session::Session;
use flamacue::sound::Kit;
use std::sync::Arc;

const TEXT: &str = "title: 🥁\ntempo: 120\n\nfill tray \"First 🥁\"\n  play  S.ss t m f\n\nfill gate \"Second\"\n  play  s s t t\n";

fn session(text: &str) -> Session {
    let fonts = Arc::new(Fonts::built_in().expect("fonts"));
    let mut session = Session::new("desk.flam", text, fonts);
    session.update(&|| false).expect("it is not stopped");
    session
}

/// The place of words in a text, in code units of UTF-16.
fn place(text: &str, words: &str) -> usize {
    text[..text.find(words).expect("they are there")].encode_utf16().count()
}

#[test]
fn asks_are_objects_that_name_what_is_asked() {
    let ask: Ask = serde_json::from_str(
        r#"{"ask":"edit","edits":[{"from":1,"to":2,"text":"x"}],"length":9,"from":0,"to":9,"near":[0]}"#,
    )
    .expect("an edit");
    let Ask::Edit { edits, length, seen } = ask else { panic!("{ask:?}") };
    assert_eq!((edits.len(), length, seen.near), (1, 9, vec![0]));
    assert!(serde_json::from_str::<Ask>(r#"{"ask":"shell"}"#).is_err());
    assert!(serde_json::from_str::<Ask>(r#"{"ask":"page","page":-1}"#).is_err());
}

#[test]
fn a_look_has_the_pages_that_are_seen_and_what_is_wrong_in_code_units() {
    let text = TEXT.replace("fill gate", "fil gate");
    let session = session(&text);
    let found = findings(session.source(), session.diagnostics());
    let look = Desk::of(&session).look(
        (false, Vec::new()),
        &found,
        (&Seen::default(), &mut SentPages::default()),
    );
    let [fault] = look.findings.as_slice() else { panic!("{:?}", look.findings) };
    let at = place(&text, "fil gate");
    assert_eq!((fault.from, fault.to, fault.line), (Some(at), Some(at + 3), 7));
    let mend = fault.mend.as_ref().expect("a mend");
    assert_eq!((mend.from, mend.to, mend.text.as_str()), (at, at + 3, "fill"));

    let session = self::session(TEXT);
    let seen = Seen { from: 0, to: 9, near: vec![0] };
    let mut sent = SentPages::default();
    let look = Desk::of(&session).look((true, vec![0]), &[], (&seen, &mut sent));
    assert_eq!(look.sent.get(&0).and_then(|page| page.svg.as_ref()), session.svg(0).as_ref());
    assert_eq!((look.pages, look.size.map(|size| size[0].round())), (1, Some(595.0)));
    assert_eq!(
        look.tokens.first().map(|token| (token.from, token.to, token.kind)),
        Some((0, 5, "key"))
    );
}

#[test]
fn a_page_that_tells_other_places_is_sent_again() {
    let mut session = session(TEXT);
    let seen = Seen { near: vec![0], ..Seen::default() };
    let mut sent = SentPages::default();
    let mut look = |session: &Session, changed| {
        Desk::of(session).look((true, changed), &[], (&seen, &mut sent)).sent.len()
    };
    assert_eq!(look(&session, vec![0]), 1);
    assert_eq!(look(&session, Vec::new()), 0);
    // A comment changes nothing that is seen, and moves all lines under it.
    let at = TEXT.find("fill tray").expect("a block");
    session.edit("desk.flam", at..at, "// A line more.\n").expect("a place");
    let update = session.update(&|| false).expect("it is not stopped");
    assert_eq!(look(&session, update.changed), 1);
}

#[test]
fn of_a_page_that_is_there_only_what_an_edit_changed_is_sent() {
    let mut session = session(TEXT);
    let seen = Seen { near: vec![0], ..Seen::default() };
    let mut sent = SentPages::default();
    let mut look = |session: &Session, changed| {
        let look = Desk::of(session).look((true, changed), &[], (&seen, &mut sent));
        look.sent.into_values().next().expect("a page")
    };
    let whole = look(&session, vec![0]);
    assert_eq!((whole.of, whole.replaced.len()), (None, 0));
    let at = TEXT.find("s s t t").expect("a row");
    session.edit("desk.flam", at..at + 1, "t").expect("a place");
    let update = session.update(&|| false).expect("it is not stopped");
    let parts = look(&session, update.changed);
    assert_eq!((parts.svg, parts.of), (None, Some(whole.number)));
    let [block] = parts.replaced.as_slice() else { panic!("{:?}", parts.replaced) };
    assert!(block.within == Within::Page && block.gone == 1 && block.put.contains("Second"));
    assert!(!block.put.contains("First"), "the other block is sent again");
}

#[test]
fn words_of_a_place_and_ways_to_go_on() {
    let session = session(TEXT);
    let desk = Desk::of(&session);
    let told = desk.explain(place(TEXT, "S.ss"));
    assert!(told.words.as_ref().is_some_and(|words| words.contains("accented")), "{told:?}");
    assert_eq!(told.page, Some(0));
    let at = place(TEXT, "tray") - 1;
    let offers = desk.complete(at - 1).offers;
    assert!(
        offers.iter().any(|offer| offer.text.starts_with("fill") && offer.to == at - 1),
        "{offers:?}"
    );
    let tidied = self::session(&TEXT.replace("play  S", "play    S"));
    let edits = Desk::of(&tidied).tidy().edits;
    assert_eq!(edits.len(), 1);
    assert_eq!(edits[0].text, "  play  S.ss t m f");
}

#[test]
fn a_block_is_heard_as_often_and_as_fast_as_is_asked() {
    let session = session(TEXT);
    let desk = Desk::of(&session);
    let mut kit = Kit::own();
    let at = place(TEXT, "S.ss");
    let wanted = Hear { at, exercise: None, factor: 0.5, click: false, count: true, times: 2 };
    let (heard, sound) = desk.hear(&wanted, &mut kit).expect("it is heard");
    // Four beats at 120, half as fast: four seconds each time, after as long a count-in.
    assert_eq!((heard.name.as_str(), heard.once, heard.tempo), ("First 🥁", 4.0, 120.0));
    assert_eq!((heard.from, heard.to), (4, 5));
    let main: Vec<_> = heard.strokes.iter().map(|own| own.seconds - heard.music).collect();
    // The first beat's three notes, a quarter of a beat each and one silent; then the other beats.
    assert_eq!(main, [0.0, 0.5, 0.75, 1.0, 2.0, 3.0, 4.0, 4.5, 4.75, 5.0, 6.0, 7.0]);
    assert_eq!(heard.strokes[1].beat, "3/2");
    let wav = hound::WavReader::new(sound.as_slice()).expect("a WAV file");
    let seconds = f64::from(wav.duration()) / 48_000.0;
    assert!(seconds >= heard.music + 8.0, "{seconds}");

    // Where the text says nothing of a click, each beat has one.
    let clicked =
        desk.hear(&Hear { click: true, ..wanted.clone() }, &mut kit).expect("it is heard").1;
    assert_eq!(clicked.len(), sound.len());
    assert!(clicked != sound, "no click is heard");

    let nowhere = Hear { at: 0, ..wanted.clone() };
    assert_eq!(desk.hear(&nowhere, &mut kit).err(), Some(HearError::NoMusic));
    let long = TEXT
        .replace("tempo: 120", "tempo: 10")
        .replace("f\n\n", &format!("f{}\n\n", "| s s s s".repeat(60)));
    let session = self::session(&long);
    let slow = Hear { at: place(&long, "S.ss"), factor: 0.1, times: 8, ..wanted };
    assert_eq!(Desk::of(&session).hear(&slow, &mut kit).err(), Some(HearError::TooLong));
}

#[test]
fn of_a_series_all_exercises_are_heard_or_the_one_that_is_asked_for() {
    let text = "tempo: 60\n\nseries \"Two accents\"\n  columns: 2\n  accents: 2 of ssss\n";
    let session = session(text);
    let (desk, mut kit) = (Desk::of(&session), Kit::own());
    let at = place(text, "accents:");
    let wanted = Hear { at, exercise: None, factor: 4.0, click: false, count: false, times: 2 };
    let (heard, sound) = desk.hear(&wanted, &mut kit).expect("it is heard");
    // Two of four strokes have six places; each exercise is a bar of sixteen strokes, heard twice.
    assert_eq!(heard.exercises, ["Two accents", "2", "3", "4", "5", "6"]);
    let of =
        |exercise| heard.strokes.iter().filter(|own| own.exercise == exercise).collect::<Vec<_>>();
    for exercise in 0..6 {
        assert_eq!(of(exercise).len(), 2 * 16, "exercise {exercise}");
        // The second time comes as long after the first as is told.
        let both = of(exercise);
        assert!((both[16].seconds - both[0].seconds - heard.once).abs() < 1e-9);
    }
    // A bar of four beats in a second, and a pause.
    assert!((of(1)[0].seconds - of(0)[0].seconds - 2.5).abs() < 1e-9);
    let wav = hound::WavReader::new(sound.as_slice()).expect("a WAV file");
    assert!(f64::from(wav.duration()) / 48_000.0 >= heard.music + 2.0 * heard.once);

    let one = Hear { exercise: Some("3".to_owned()), times: 1, ..wanted };
    let (heard, _) = desk.hear(&one, &mut kit).expect("it is heard");
    assert_eq!((heard.exercises.as_slice(), heard.once), (&["3".to_owned()][..], 1.0));
    assert_eq!(heard.strokes.len(), 16);
}

#[test]
fn the_exercises_of_a_series_move_one_after_the_other_each_where_it_stands() {
    // More than a page: three of six strokes have twenty places.
    let text = "tempo: 60\n\nfill before\n  play  s s s s\n\nseries \"Accents\"\n  columns: 2\n  accents: 3 of ssssss\n";
    let session = session(text);
    let (desk, mut kit) = (Desk::of(&session), Kit::own());
    let at = place(text, "accents:");
    let wanted = Hear { at, exercise: None, factor: 4.0, click: false, count: false, times: 2 };
    let (heard, _) = desk.hear(&wanted, &mut kit).expect("it is heard");
    let names: Vec<&str> = heard.moving.iter().map(|own| own.name.as_str()).collect();
    assert_eq!(names, heard.exercises);
    assert_eq!((names.len(), session.pages()), (20, 2));
    let mut before = None;
    for (nth, own) in heard.moving.iter().enumerate() {
        // As it does when it is heard alone, after all before it.
        let first = heard.strokes.iter().find(|stroke| stroke.exercise == nth).expect("a stroke");
        assert!((heard.music + own.from - first.seconds).abs() < 1e-9, "exercise {nth}");
        let alone = Hear { exercise: Some(own.name.clone()), times: 1, ..wanted.clone() };
        let (alone, _) = desk.hear(&alone, &mut kit).expect("it is heard");
        let [moving] = alone.moving.as_slice() else { panic!("exercise {nth}") };
        assert_eq!((&moving.blocks, &moving.motion), (&own.blocks, &own.motion));
        // It is drawn where no other is: the block of its name.
        let [(page, block)] = own.blocks.as_slice() else { panic!("{:?}", own.blocks) };
        assert!(before < Some((*page, *block)), "exercise {nth}");
        before = Some((*page, *block));
        let svg = session.svg(*page).expect("a page");
        let before = svg.split("\" class=\"block\"").nth(*block).expect("a block");
        let label = before.rsplit("aria-label=\"").next();
        assert_eq!(label, Some(own.name.as_str()));
        let told = serde_json::to_value(&own.motion).expect("JSON");
        let lines = told["ways"][0]["lines"].as_array().expect("lines");
        assert!(lines.iter().all(|line| line[0] == *page) && !lines.is_empty(), "exercise {nth}");
        assert_eq!(told["lights"].as_array().map(Vec::len), Some(24), "exercise {nth}");
    }
}

#[test]
fn files_are_made_of_a_text_with_music_only() {
    let (session, mut kit) = (session(TEXT), Kit::own());
    let desk = Desk::of(&session);
    assert!(desk.pdf().expect("it has pages").starts_with(b"%PDF-"));
    assert!(desk.midi().expect("it has music").starts_with(b"MThd"));
    assert!(desk.flac(&mut kit).expect("it is heard").starts_with(b"fLaC"));
    let session = self::session("title: Words\n\nNothing to play.\n");
    let desk = Desk::of(&session);
    assert_eq!(desk.midi().err(), Some(FileError::NoMusic));
    assert_eq!(desk.flac(&mut kit).err(), Some(FileError::NoMusic));
}

#[test]
fn the_page_has_every_module_that_it_loads() {
    let names: Vec<&str> = PAGE.iter().map(|asset| asset.name).collect();
    for asset in PAGE {
        for part in asset.text.split("from \"./").skip(1) {
            let name = part.split('"').next().expect("the first part");
            assert!(name == "host.js" || names.contains(&name), "{} loads {name}", asset.name);
        }
    }
}
