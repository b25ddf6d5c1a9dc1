//! What is written takes the place of nothing that is read and of nothing else that is written.

use crate::room::{GOOD, Room};

/// The command is refused, says all of this, and leaves the folder as it is.
fn refused(room: &Room, arguments: &[&str], says: &[&str]) {
    let before: Vec<_> = room.names().into_iter().map(|name| room.bytes(name)).collect();
    let ended = room.run(arguments);
    assert_eq!(ended.status, 2, "{arguments:?}: {}", ended.err);
    for word in says {
        assert!(ended.err.contains(word), "{arguments:?}: {word}: {}", ended.err);
    }
    let after: Vec<_> = room.names().into_iter().map(|name| room.bytes(name)).collect();
    assert!(before == after, "{arguments:?} changed something");
}

#[test]
fn no_text_is_written_over() {
    let room = Room::new("over-text");
    room.put("a.svg", GOOD);
    room.put("in.pdf", GOOD);
    room.put("chapter.flam", GOOD);
    room.put("book.flam", "title: Two\n\ninclude chapter.flam\n");
    refused(&room, &["build", "a.svg", "-o", "a.svg"], &["a.svg", "Give another name with -o"]);
    refused(&room, &["build", "in.pdf"], &["in.pdf would be written over in.pdf"]);
    std::fs::hard_link(room.path("chapter.flam"), room.path("other.svg")).expect("a name");
    refused(&room, &["build", "book.flam", "-o", "other.svg"], &["other.svg", "over chapter.flam"]);
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink("chapter.flam", room.path("link.svg")).expect("a link");
        refused(
            &room,
            &["build", "book.flam", "-o", "link.svg"],
            &["link.svg", "over chapter.flam"],
        );
    }
}

#[test]
fn no_style_font_or_picture_is_written_over() {
    let room = Room::new("over-others");
    let root = env!("CARGO_MANIFEST_DIR");
    let copy = |from: &str, to: &str| {
        std::fs::copy(format!("{root}/{from}"), room.path(to)).expect("a copy");
    };
    copy("styles/handout.toml", "style.svg");
    copy("fonts/calfskin/Calfskin.ttf", "face.pdf");
    room.put("bare.json", r#"{"fontName": "Bare"}"#);
    room.put("drum.svg", "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"9\" height=\"9\"><path d=\"M0 0h9v9z\"/></svg>");
    room.put("a.flam", format!("{GOOD}\n![A drum](drum.svg)\n"));
    room.put("b.flam", format!("text-font: face.pdf\n{GOOD}"));
    refused(
        &room,
        &["build", "a.flam", "-o", "./drum.svg"],
        &["./drum.svg would", "over drum.svg"],
    );
    refused(&room, &["build", "a.flam", "-o", "Drum.SVG"], &["Drum.SVG", "over drum.svg"]);
    refused(
        &room,
        &["build", "a.flam", "--style", "style.svg", "-o", "style.svg"],
        &["over style.svg"],
    );
    refused(&room, &["build", "b.flam", "-o", "face.pdf"], &["over face.pdf"]);
    refused(
        &room,
        &["build", "a.flam", "--text-font", "face.pdf", "-o", "face.pdf"],
        &["over face.pdf"],
    );
    let music =
        ["build", "a.flam", "--music-font", "face.pdf", "--music-metadata", "bare.json", "-o"];
    for out in ["face.pdf", "bare.json"] {
        refused(&room, &[&music[..], &[out]].concat(), &[out, "would be written over"]);
    }
}

#[test]
fn two_outputs_never_share_a_name() {
    let room = Room::new("one-name");
    for name in ["a.flam", "a.txt", "B.flam", "b.txt"] {
        room.put(name, GOOD);
    }
    refused(&room, &["build", "a.flam", "./a.txt"], &["a.flam and ./a.txt", "one name", "-o"]);
    refused(&room, &["build", "B.flam", "b.txt"], &["B.flam and b.txt", "B.pdf and b.pdf"]);
    refused(&room, &["build", "a.flam", "a.txt", "--each"], &["a.flam and a.txt"]);
    refused(&room, &["build", "B.flam", "b.txt", "--each", "-o", "web"], &["B.flam and b.txt"]);
    refused(&room, &["build", "a.flam", "a.flam"], &["a.flam is named twice", "name it once"]);
    refused(&room, &["build", "a.flam", "a.flam", "--each"], &["a.flam is named twice"]);
    room.put("c.flam", "fill d-e\n  play s s s s\n");
    room.put("c-d.flam", "fill E\n  play s s s s\n");
    refused(&room, &["build", "c.flam", "c-d.flam", "--each"], &["c-d-e.svg and c-d-E.svg"]);
}

#[test]
fn blocks_of_one_text_have_files_of_their_own() {
    let room = Room::new("capitals");
    room.put("a.flam", "fill gate\n  play s s s s\n\nfill Gate\n  play s s s s\n");
    let ended = room.run(&["build", "a.flam", "--each"]);
    let names: Vec<String> = room.names().iter().map(|name| name.to_lowercase()).collect();
    match ended.status {
        0 => assert_eq!(names, ["a-gate-2.svg", "a-gate.svg", "a.flam"]),
        _ => assert_eq!(names, ["a.flam"], "{}", ended.err),
    }
}

#[cfg(unix)]
#[test]
fn only_files_are_replaced() {
    let room = Room::new("special");
    room.put("a.flam", GOOD);
    room.fifo("pipe.pdf");
    let link = |to: &str, name: &str| {
        std::os::unix::fs::symlink(to, room.path(name)).expect("a link");
    };
    link("nowhere.pdf", "dangling.pdf");
    link("/dev/null", "device.pdf");
    for (out, says) in [
        ("pipe.pdf", "a device or a pipe"),
        ("device.pdf", "a device or a pipe"),
        ("dangling.pdf", "a link to nowhere.pdf, which is not there"),
    ] {
        let ended = room.run(&["build", "a.flam", "-o", out]);
        assert_eq!(ended.status, 2, "{out}: {}", ended.err);
        assert!(
            ended.err.contains(says) && ended.err.contains("give another name"),
            "{}",
            ended.err
        );
    }
    for name in ["dangling.pdf", "device.pdf"] {
        assert!(room.path(name).is_symlink(), "{name}");
    }
    assert!(!std::fs::metadata(room.path("pipe.pdf")).expect("a pipe").is_file());
    let ended = room.run(&["new", "dangling.pdf"]);
    assert!(ended.status == 2 && ended.err.contains("already there"), "{}", ended.err);
    assert_eq!(room.names(), ["a.flam", "dangling.pdf", "device.pdf", "pipe.pdf"]);
}
