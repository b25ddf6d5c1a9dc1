//! Lessons to hear: the files of the folder, what they say of themselves and how long they are.

use crate::room::{Ended, Room};
use std::io::Cursor;
use std::sync::LazyLock;

/// Four beats of half a second in each block; the second is played in a context.
const TEXT: &str = "title: Low Tide\nauthor: Imke\ntempo: 120\n\n\
    groove oars \"Both oars\"\n  play  k . s .\n\n\
    fill slip \"Off the slip\"\n  play  s . k .\n\n\
    context over \"Over\"\n  play: oars x2, slip\n";
/// The same, soon over, where nothing is asked of how it sounds.
static QUICK: LazyLock<String> = LazyLock::new(|| TEXT.replace("tempo: 120", "tempo: 400"));
const FRAMES_PER_SECOND: f64 = 48_000.0;

fn lesson(room: &Room, options: &[&str]) -> Ended {
    let ended = room.run(&[&["lesson", "tide.flam"], options].concat());
    assert_eq!(ended.status, 0, "{}", ended.err);
    ended
}

/// What a FLAC file says of itself (RFC 9639): seconds, comments, and the size of its picture.
struct Flac {
    seconds: f64,
    comments: Vec<String>,
    picture: Option<[u32; 2]>,
}

fn flac(bytes: &[u8]) -> Flac {
    let reader = claxon::FlacReader::new(Cursor::new(bytes)).expect("a FLAC file");
    let seconds = reader.streaminfo().samples.unwrap_or(0) as f64 / FRAMES_PER_SECOND;
    let comments = reader.tags().map(|(name, value)| format!("{name}={value}")).collect();
    Flac { seconds, comments, picture: picture(bytes) }
}

/// The sides of the picture that a block of kind 6 holds; it is compared with those in the PNG file itself.
fn picture(bytes: &[u8]) -> Option<[u32; 2]> {
    let number = |at: usize| u32::from_be_bytes(bytes[at..at + 4].try_into().expect("four bytes"));
    let mut at = 4;
    loop {
        let (head, length) = (bytes[at], (number(at) & 0xff_ffff) as usize);
        if head & 0x7f == 6 {
            let text = number(at + 8) as usize;
            let sides = at + 12 + text + 4;
            let png = sides + 20;
            assert_eq!(&bytes[at + 12..at + 12 + text], b"image/png");
            assert_eq!(&bytes[png..png + 8], b"\x89PNG\r\n\x1a\n");
            assert_eq!([number(png + 16), number(png + 20)], [number(sides), number(sides + 4)]);
            return Some([number(sides), number(sides + 4)]);
        }
        if head & 0x80 != 0 {
            return None;
        }
        at += 4 + length;
    }
}

fn words(room: &Room, name: &str) -> String {
    String::from_utf8(room.get(name)).expect("UTF-8")
}

#[test]
fn a_lesson_is_numbered_files_with_a_list() {
    let room = Room::new("lesson");
    room.put("tide.flam", TEXT);
    lesson(&room, &[]);
    let mut names: Vec<String> = std::fs::read_dir(room.path("tide-lesson"))
        .expect("a folder")
        .map(|entry| entry.expect("an entry").file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    assert_eq!(
        names,
        [
            "01-oars.flac",
            "02-slip.flac",
            "03-over.flac",
            "04-recap.flac",
            "05-quiz.flac",
            "index.html",
            "lesson.m3u8",
            "quiz-answers.txt"
        ]
    );
    let list = words(&room, "tide-lesson/lesson.m3u8");
    let lines: Vec<&str> = list.lines().collect();
    assert_eq!(lines[0], "#EXTM3U");
    assert_eq!(lines[2], "#PLAYLIST:Low Tide");
    let entries: Vec<(&str, &str)> = lines[3..].chunks(2).map(|two| (two[0], two[1])).collect();
    assert_eq!(entries.len(), 5);
    for (number, (told, file)) in entries.into_iter().enumerate() {
        assert_eq!(file, names[number]);
        let seconds = flac(&room.get(&format!("tide-lesson/{file}"))).seconds;
        assert!(told.starts_with(&format!("#EXTINF:{seconds:.0},Imke - ")), "{told}: {seconds}");
    }
}

/// A half second before the first sound and three after the last, 1.5 s between two passes, a bar of 2 s that is
/// counted in before each, and a bar of 2 s of music.
#[test]
fn a_file_is_as_long_as_a_lesson_goes() {
    let room = Room::new("lesson-lengths");
    room.put("tide.flam", TEXT);
    lesson(&room, &[]);
    let seconds = |file: &str| flac(&room.get(&format!("tide-lesson/{file}"))).seconds;
    let (edges, pause, bar) = (3.5, 1.5, 2.0);
    // Twice alone, silence, in context (two bars of groove and one of fill), slow (in two thirds of the
    // tempo, its count-in too), up to tempo.
    let alone = bar + 2.0 * bar;
    let (silence, context, slow, goal) = (2.0 * bar, bar + 3.0 * bar, 2.0 * 1.5 * bar, 2.0 * bar);
    let slip = edges + 4.0 * pause + alone + silence + context + slow + goal;
    assert!((seconds("02-slip.flac") - slip).abs() < 1e-3, "{}", seconds("02-slip.flac"));
    // The context is in no other: three bars.
    let over = edges + 3.0 * pause + (bar + 6.0 * bar) + 4.0 * bar + 1.5 * 4.0 * bar + 4.0 * bar;
    assert!((seconds("03-over.flac") - over).abs() < 1e-3, "{}", seconds("03-over.flac"));
    let recap = edges + 2.0 * pause + 2.0 * bar + 2.0 * bar + 4.0 * bar;
    assert!((seconds("04-recap.flac") - recap).abs() < 1e-3, "{}", seconds("04-recap.flac"));
    // Each is counted in, heard twice, and then there is as long a silence.
    let asked = |bars: f64| bar + 2.0 * bars * bar + pause + bars * bar;
    let quiz = edges + 2.0 * pause + 2.0 * asked(1.0) + asked(3.0);
    assert!((seconds("05-quiz.flac") - quiz).abs() < 1e-3, "{}", seconds("05-quiz.flac"));
}

#[test]
fn a_file_says_what_it_is_and_shows_its_notes() {
    let room = Room::new("lesson-tags");
    room.put("tide.flam", TEXT);
    lesson(&room, &["-o", "out"]);
    let slip = flac(&room.get("out/02-slip.flac"));
    assert_eq!(
        slip.comments,
        ["TITLE=1 Off the slip", "ARTIST=Imke", "ALBUM=Low Tide", "TRACKNUMBER=2"]
    );
    let [width, height] = slip.picture.expect("a picture");
    assert!(width > 200 && height > 100, "{width} by {height}");
    let quiz = flac(&room.get("out/05-quiz.flac"));
    assert_eq!(quiz.comments[0], "TITLE=Quiz");
    assert_eq!(quiz.picture, None);
}

#[test]
fn a_quiz_has_another_order_and_its_answers() {
    let room = Room::new("lesson-quiz");
    room.put("tide.flam", QUICK.as_str());
    let titles = ["Both oars", "1 Off the slip", "Over"];
    let order = |seed: &str| {
        lesson(&room, &["-o", "out", "--quiz", seed]);
        let answers = words(&room, "out/quiz-answers.txt");
        let told: Vec<String> = answers.lines().skip(3).map(str::to_owned).collect();
        let title = |line: &String| line.split("  ").last().expect("a title").to_owned();
        (told.clone(), told.iter().map(title).collect::<Vec<_>>())
    };
    let (lines, first) = order("1");
    assert!(lines[0].starts_with("  1. 0:00  "), "{lines:?}");
    assert_ne!(first, titles);
    let mut all = first.clone();
    all.sort();
    assert_eq!(all, ["1 Off the slip", "Both oars", "Over"]);
    assert_eq!(order("1").1, first);
    assert!((2..9).any(|seed| order(&seed.to_string()).1 != first));
}

/// A lesson replaces its own files, and no other.
#[test]
fn what_no_lesson_made_stays() {
    let room = Room::new("lesson-foreign");
    room.put("tide.flam", QUICK.as_str());
    lesson(&room, &["-o", "out"]);
    let before = room.get("out/01-oars.flac");
    lesson(&room, &["-o", "out", "--click", "beats"]);
    assert_ne!(room.get("out/01-oars.flac"), before);
    for own in ["01-oars.flac", "lesson.m3u8", "index.html", "quiz-answers.txt"] {
        let kept = room.get(&format!("out/{own}"));
        room.put(&format!("out/{own}"), "somebody's own");
        let ended = room.run(&["lesson", "tide.flam", "-o", "out"]);
        assert_eq!(ended.status, 2, "{own}");
        assert!(
            ended.err.contains(own) && ended.err.contains("no lesson has made it"),
            "{}",
            ended.err
        );
        assert_eq!(room.get(&format!("out/{own}")), b"somebody's own");
        room.put(&format!("out/{own}"), kept);
    }
    lesson(&room, &["-o", "out"]);
}

#[test]
fn what_is_no_lesson_is_refused() {
    let room = Room::new("lesson-refused");
    room.put("tide.flam", TEXT);
    room.put("none.flam", "# Words\n\nNothing to play.\n");
    room.put("faulty.flam", "fill\n  play s s s\n  stick R\n  stick L\n");
    room.put("taken", "a file");
    for (options, told) in [
        (&["none.flam"][..], "no block to hear"),
        (&["tide.flam", "--block", "none"], "no block called `none`"),
        (&["tide.flam", "-o", "-"], "give a folder"),
        (&["-"], "give a folder"),
        (&["tide.flam", "-o", "taken"], "can't"),
        (&["tide.flam", "--quiz", "first"], "--quiz"),
    ] {
        let ended = room.run(&[&["lesson"], options].concat());
        assert_eq!(ended.status, 2, "{options:?}: {}", ended.err);
        assert!(ended.err.contains(told), "{options:?}: {}", ended.err);
    }
    assert_eq!(room.run(&["lesson", "faulty.flam"]).status, 1);
    assert_eq!(room.names(), ["faulty.flam", "none.flam", "taken", "tide.flam"]);
}

/// One block has neither recap nor quiz.
#[test]
fn one_block_is_one_file() {
    let room = Room::new("lesson-one");
    room.put("tide.flam", TEXT);
    lesson(&room, &["-o", "out", "--block", "slip", "--practice", "slow"]);
    let there = |name: &str| room.path(&format!("out/{name}")).exists();
    assert!(there("01-slip.flac") && there("index.html"));
    assert!(!there("02-recap.flac") && !there("quiz-answers.txt"));
    assert!((flac(&room.get("out/01-slip.flac")).seconds - (3.5 + 2.0 * 3.0)).abs() < 1e-3);
}

/// Titles stay words, wherever they stand in the page.
#[test]
fn nothing_in_a_text_runs_on_its_page() {
    let room = Room::new("lesson-escaped");
    let evil = "</script><script>alert(1)</script>";
    let text = format!(
        "title: {evil}\nauthor: {evil}\nlanguage: de\n\nfill one \"{evil}\"\n  play s k s k\n\n\
         fill two \"&amp;<b>\"\n  play k . . .\n"
    );
    room.put("tide.flam", text);
    lesson(&room, &["-o", "out"]);
    let page = words(&room, "out/index.html");
    assert_eq!(page.matches("<script").count(), 2);
    assert_eq!(page.matches("</script").count(), 2);
    assert!(!page.contains("alert(1)</script>"));
    assert!(page.contains("&lt;script&gt;alert(1)"));
    assert!(page.contains("default-src 'none'"));
    // What the page says of itself is in the text's language.
    assert!(page.contains(">Abspielen<") && page.contains("Kopfhörer"));
}
