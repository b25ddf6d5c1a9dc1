//! Films: what is written where, and what is refused.

use crate::room::{FAULTY, GOOD, Room};

/// Small and slow frames, so that it takes no time.
const SMALL: [&str; 4] = ["--size", "320x64", "--rate", "5"];
const FRAME: usize = 320 * 64 * 4;

fn film(room: &Room, options: &[&str]) -> crate::room::Ended {
    room.run(&[&["film", "tide.flam"], &SMALL[..], options].concat())
}

fn tide(name: &str) -> Room {
    let room = Room::new(name);
    room.put("tide.flam", GOOD.as_bytes());
    room
}

#[test]
fn an_animated_picture_beside_the_file() {
    let room = tide("film-beside");
    let ended = film(&room, &["--block", "slip"]);
    assert_eq!((ended.status, ended.err.as_str()), (0, ""));
    assert_eq!(room.names(), ["tide.apng", "tide.flam"]);
    let bytes = room.get("tide.apng");
    assert!(bytes.starts_with(b"\x89PNG") && bytes.windows(4).any(|four| four == b"acTL"));
}

#[test]
fn the_output_says_what_is_made() {
    let room = tide("film-forms");
    assert_eq!(film(&room, &["--block", "slip", "-o", "a.svg"]).status, 0);
    assert!(room.get("a.svg").starts_with(b"<svg"));
    assert_eq!(film(&room, &["--block", "slip", "-o", "frames/"]).status, 0);
    // 0.5 s, two bars of 2 s, and 3 s in which all rings out, five frames a second.
    let frames = std::fs::read_dir(room.path("frames")).expect("a folder").count();
    assert_eq!(frames, 38);
    assert!(room.get("frames/frame-000037.png").starts_with(b"\x89PNG"));
    let bytes = film(&room, &["--block", "slip", "-o", "-"]);
    assert_eq!((bytes.status, bytes.out.len()), (0, 38 * FRAME));
    assert_eq!(film(&room, &["--each", "-o", "b.svg"]).status, 0);
    let names = ["a.svg", "b-2.svg", "b-slip.svg", "frames", "tide.flam"];
    assert_eq!(room.names(), names);
}

/// A shorter film would be followed by what is left of a longer one.
#[test]
fn frames_of_a_longer_film_are_not_mixed_in() {
    let room = tide("film-longer");
    assert_eq!(film(&room, &["--block", "slip", "-o", "frames/"]).status, 0);
    let ended = film(&room, &["--block", "slip", "--count-in", "0", "-o", "frames/"]);
    assert_eq!(ended.status, 2);
    assert!(ended.err.contains("frames/ holds frames of a longer film"), "{}", ended.err);
    assert_eq!(film(&room, &["--block", "slip", "--count-in", "2", "-o", "frames/"]).status, 0);
}

#[test]
fn colours_are_those_of_an_edition_or_of_options() {
    let room = Room::new("film-colours");
    room.put(
        "tide.flam",
        GOOD.replace("\n\nfill", "\n\nedition night\n  ink: white\n  background: #102030\n\nfill"),
    );
    let corner = |options: &[&str]| {
        let ended = film(&room, &[&["--block", "slip", "-o", "-"], options].concat());
        assert_eq!((ended.status, ended.err.as_str()), (0, ""), "{options:?}");
        ended.out[..4].to_vec()
    };
    assert_eq!(corner(&[]), [255, 255, 255, 255]);
    assert_eq!(corner(&["--edition", "night"]), [0x10, 0x20, 0x30, 255]);
    assert_eq!(corner(&["--edition", "night", "--paper", "black"]), [0, 0, 0, 255]);
    assert_eq!(corner(&["--transparent"]), [0, 0, 0, 0]);
}

#[test]
fn notes_are_hidden() {
    let room = tide("film-hidden");
    let plain = film(&room, &["--block", "slip", "-o", "-"]).out;
    let hidden = film(&room, &["--block", "slip", "--hide", "notes", "-o", "-"]).out;
    assert_eq!(plain.len(), hidden.len());
    let dark = |bytes: &[u8]| bytes.chunks_exact(4).filter(|pixel| pixel[0] < 128).count();
    let last = plain.len() - FRAME;
    assert!(dark(&hidden[last..]) < dark(&plain[last..]) * 9 / 10);
}

#[test]
fn cards_are_pictures() {
    let room = tide("film-cards");
    let card = |options: &[&str]| room.run(&[&["film", "tide.flam", "--card"], options].concat());
    assert_eq!(card(&["title", "--size", "16:9"]).status, 0);
    assert_eq!(card(&["end", "--address", "example.org/tide", "--size", "1:1"]).status, 0);
    assert_eq!(card(&["thumbnail", "--each", "--size", "9:16"]).status, 0);
    assert_eq!(card(&["thumbnail", "--block", "slip", "-o", "slip.svg"]).status, 0);
    let pictures =
        ["tide-end.png", "tide-thumbnail-2.png", "tide-thumbnail-slip.png", "tide-title.png"];
    let names = [&["slip.svg"], &pictures[..2], &["tide-thumbnail-slip.png"]].concat();
    let names = [&names[..], &["tide-title.png", "tide.flam"]].concat();
    assert_eq!(room.names(), names);
    let size = |name: &str| {
        let bytes = room.get(name);
        let number = |at: usize| {
            u32::from_be_bytes([bytes[at], bytes[at + 1], bytes[at + 2], bytes[at + 3]])
        };
        (number(16), number(20))
    };
    let sizes = pictures.map(size);
    assert_eq!(sizes, [(1080, 1080), (1080, 1920), (1080, 1920), (1920, 1080)]);
}

/// What is refused says what to write instead, and nothing is left behind.
#[test]
fn faults_have_mends() {
    let room = tide("film-faults");
    room.put("faulty.flam", FAULTY);
    room.put("taps.txt", "1.0\nnow\n");
    room.put("back.txt", "2.0\n1.0\n");
    for (options, words) in [
        (
            &["tide.flam", "-o", "x.png"][..],
            "end it in .apng for an animated PNG, or in a slash for a folder",
        ),
        (&["tide.flam", "-o", "x.mp4"], "end it in .apng or .svg, or in a slash for a folder"),
        (&["tide.flam", "--each", "-o", "-"], "give -o a folder"),
        (&["-"], "say where to write with -o"),
        (&["tide.flam", "--size", "1920"], "write pixels from 64 to 8192 as 1920x300"),
        (&["tide.flam", "--size", "9000x100"], "write pixels from 64 to 8192"),
        (&["tide.flam", "--rate", "0"], "write frames a second from 1 to 240"),
        (&["tide.flam", "--cursor", "arrow"], "write line, wedge and notes"),
        (&["tide.flam", "--ink", "pink"], "such as \"#204060\""),
        (&["tide.flam", "--turn", "flip"], "write pages or scroll"),
        (&["tide.flam", "--turn", "scroll", "-o", "x.svg"], "--turn scroll is for frames"),
        (&["tide.flam", "--block", "slop"], "no block called `slop`"),
        (&["tide.flam", "--edition", "night"], "no edition `night`"),
        (&["tide.flam", "--at", "noon"], "write seconds, as 12.40"),
        (&["tide.flam", "--taps", "taps.txt"], "line 2, `now`, is no time; write seconds"),
        (&["tide.flam", "--taps", "back.txt"], "time 2 is 1 s, which is not later"),
        (&["tide.flam", "--marks"], "write times as \"0:42\" in `mark` rows"),
        (&["tide.flam", "--card", "end"], "add --address"),
        (
            &["tide.flam", "--card", "title", "-o", "x.pdf"],
            "end the name of a card in .png or .svg",
        ),
        (&["tide.flam", "--card", "poster"], "write title, end or thumbnail"),
        (&["tide.flam", "-o", "tide.flam"], "does not say what to write"),
    ] {
        let ended = room.run_with(&[&["film"], options].concat(), GOOD.as_bytes());
        assert_eq!(ended.status, 2, "{options:?}: {}", ended.err);
        assert!(ended.err.contains(words), "{options:?}: {}", ended.err);
    }
    let ended = room.run(&["film", "faulty.flam"]);
    assert_eq!(ended.status, 1, "{}", ended.err);
    assert_eq!(room.names(), ["back.txt", "faulty.flam", "taps.txt", "tide.flam"]);
}

/// The first beat is where it is put: the frame before has no cursor, the one after has.
#[test]
fn picture_and_click_go_along_with_a_recording() {
    let room = tide("film-along");
    room.put("taps.txt", "1.0\n1.6\n2.3\n3.1\n");
    for along in [&["--at", "1.0"][..], &["--taps", "taps.txt"]] {
        let both = [&["--block", "slip", "--click", "beats"], along].concat();
        let ended = film(&room, &[&both[..], &["-o", "-"]].concat());
        assert_eq!((ended.status, ended.err.as_str()), (0, ""), "{along:?}");
        let all = [&["build", "tide.flam", "-o", "x.cues.json"], &both[..]].concat();
        let ended = room.run(&all);
        assert_eq!((ended.status, ended.err.as_str()), (0, ""), "{along:?}");
        let cues: serde_json::Value =
            serde_json::from_slice(&room.get("x.cues.json")).expect("JSON");
        assert_eq!(cues["passes"][0]["music"], 1.0);
        assert_eq!(cues["strokes"][0]["seconds"], 1.0);
    }
}
