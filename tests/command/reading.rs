//! What is read: files only, up to a size, and of what texts name only what lies within their reach.

use crate::room::{GOOD, Room};
use std::fs::File;

const SQUARE: &str = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"9\" height=\"9\"><path d=\"M0 0h9v9z\"/></svg>";

/// The command fails at once, with this in what it says.
fn fails(room: &Room, arguments: &[&str], says: &str) {
    let begun = std::time::Instant::now();
    let ended = room.run(arguments);
    assert!(matches!(ended.status, 1 | 2), "{arguments:?}: {}", ended.err);
    assert!(ended.err.contains(says), "{arguments:?}: {says}: {}", ended.err);
    assert!(begun.elapsed().as_secs() < 20, "{arguments:?} took long");
}

#[cfg(unix)]
#[test]
fn devices_and_pipes_are_not_read() {
    let room = Room::new("devices");
    room.put("a.flam", GOOD);
    room.put("bare.json", r#"{"fontName": "Bare"}"#);
    room.fifo("pipe");
    room.fifo("pipe.flam");
    room.put("font.flam", format!("text-font: /dev/zero\n{GOOD}"));
    room.put("include.flam", "title: A\n\ninclude pipe.flam\n");
    room.put("picture.flam", "title: A\n\n![A drum](pipe)\n");
    let not = "a device or a pipe";
    fails(&room, &["build", "font.flam", "--root", "/dev"], not);
    fails(&room, &["build", "font.flam"], "--root /dev");
    for command in ["build", "check", "expand", "explain"] {
        fails(&room, &[command, "include.flam"], not);
        fails(&room, &[command, "pipe"], not);
    }
    fails(&room, &["fmt", "pipe"], not);
    fails(&room, &["build", "picture.flam"], not);
    fails(&room, &["build", "/dev/zero", "-o", "zero.pdf"], not);
    for special in ["/dev/zero", "pipe"] {
        fails(&room, &["build", "a.flam", "--style", special], not);
        fails(&room, &["build", "a.flam", "--text-font", special], not);
        let music = ["build", "a.flam", "--music-font", special, "--music-metadata"];
        fails(&room, &[&music[..], &["bare.json"]].concat(), not);
    }
}

#[test]
fn files_have_a_largest_size() {
    let room = Room::new("sizes");
    room.put("a.flam", GOOD);
    // Files of nothing, which take no room on most disks.
    let large = |name: &str, megabytes: u64| {
        let file = File::create(room.path(name)).expect("a file");
        file.set_len((megabytes << 20) + 1).expect("a length");
    };
    large("text.flam", 64);
    large("font.otf", 32);
    large("style.toml", 1);
    large("drum.png", 16);
    room.put("font.flam", format!("text-font: font.otf\n{GOOD}"));
    room.put("include.flam", "title: A\n\ninclude text.flam\n");
    room.put("picture.flam", "title: A\n\n![A drum](drum.png)\n");
    fails(&room, &["build", "text.flam"], "larger than 64 MB");
    fails(&room, &["build", "include.flam"], "larger than 64 MB");
    fails(&room, &["build", "font.flam"], "larger than 32 MB");
    fails(&room, &["build", "picture.flam"], "larger than 16 MB");
    fails(&room, &["build", "a.flam", "--text-font", "font.otf"], "larger than 32 MB");
    fails(&room, &["build", "a.flam", "--style", "style.toml"], "larger than 1 MB");
    let ended = room.run_with(&["check", "-"], &vec![b'\n'; (64 << 20) + 1]);
    assert!(ended.status == 2 && ended.err.contains("larger than 64 MB"), "{}", ended.err);
}

#[test]
fn texts_reach_no_further_than_their_folder() {
    let room = Room::new("reach");
    for folder in ["book", "book/parts", "far"] {
        std::fs::create_dir(room.path(folder)).expect("a folder");
    }
    room.put("far/one.flam", GOOD);
    room.put("far/drum.svg", SQUARE);
    room.put("far/face.ttf", include_bytes!("../../fonts/calfskin/Calfskin.ttf"));
    room.put("book/parts/one.flam", GOOD);
    room.put("book/include.flam", "title: A\n\ninclude ../far/one.flam\n");
    room.put("book/picture.flam", "title: A\n\n![A drum](../far/drum.svg)\n");
    room.put("book/font.flam", format!("text-font: ../far/face.ttf\n{GOOD}"));
    let root = room.path("far");
    room.put("book/absolute.flam", format!("title: A\n\ninclude {}/one.flam\n", root.display()));
    room.put("book/near.flam", "title: A\n\ninclude parts/one.flam\n");
    // A chapter may name what lies beside the book.
    room.put("book/parts/two.flam", "![A drum](../drum.svg)\n");
    room.put("book/drum.svg", SQUARE);
    room.put("book/up.flam", "title: A\n\ninclude parts/two.flam\n");
    for name in ["include", "picture", "font", "absolute"] {
        let file = format!("book/{name}.flam");
        fails(&room, &["build", &file], "outside of the folder of");
        let ended = room.run(&["build", &file]);
        assert!(ended.err.contains("--root "), "{}", ended.err);
        let ended = room.run(&["build", &file, "--root", "far"]);
        assert_eq!(ended.status, 0, "{file}: {}", ended.err);
        let ended = room.run(&["build", &file, "--root", "far/none"]);
        assert!(ended.status == 2 && ended.err.contains("--root far/none"), "{}", ended.err);
    }
    for name in ["near", "up"] {
        let ended = room.run(&["build", &format!("book/{name}.flam")]);
        assert_eq!(ended.status, 0, "{}", ended.err);
    }
    let ended = room.run_with(&["check", "-"], b"include ../one.flam\n");
    assert!(ended.err.contains("outside of the folder you are in"), "{}", ended.err);
    // Whether something is there is not told.
    room.put("book/none.flam", "include ../far/none.flam\n");
    fails(&room, &["check", "book/none.flam"], "--root far`");
    // What the command line names may lie anywhere.
    let far = ["build", "book/near.flam", "--text-font", "far/face.ttf", "-o", "far/near.pdf"];
    let ended = room.run(&far);
    assert_eq!(ended.status, 0, "{}", ended.err);
}

#[cfg(unix)]
#[test]
fn links_are_followed_before_reach_is_judged() {
    let room = Room::new("reach-links");
    std::fs::create_dir(room.path("book")).expect("a folder");
    room.put("far.flam", GOOD);
    std::os::unix::fs::symlink("../far.flam", room.path("book/near.flam")).expect("a link");
    std::os::unix::fs::symlink("..", room.path("book/up")).expect("a link");
    room.put("book/a.flam", "include near.flam\n");
    room.put("book/b.flam", "include up/far.flam\n");
    for file in ["book/a.flam", "book/b.flam"] {
        fails(&room, &["check", file], "outside of the folder of");
        assert_eq!(room.run(&["check", file, "--root", "."]).status, 0);
    }
    // The first file is named on the command line, wherever its link leads.
    assert_eq!(room.run(&["check", "book/near.flam"]).status, 0);
    let ended = room.run_with(&["check", "-"], b"include book/near.flam\n");
    assert_eq!(ended.status, 0, "{}", ended.err);
}
