//! What becomes of the file a text is formatted in.

use crate::room::{GOOD, Room};
use std::fs;
use std::os::unix::fs::{MetadataExt, PermissionsExt};

const UNTIDY: &str = "fill\n  play     s s s s\n";
const TIDY: &str = "fill\n  play  s s s s\n";

fn set_mode(room: &Room, name: &str, mode: u32) {
    fs::set_permissions(room.path(name), fs::Permissions::from_mode(mode)).expect("a mode");
}

#[test]
fn line_ends_and_the_mark_stay() {
    let room = Room::new("fmt-ends");
    let wide = |text: &str| text.replace('\n', "\r\n");
    for (before, after) in [
        (UNTIDY.to_owned(), TIDY.to_owned()),
        (wide(UNTIDY), wide(TIDY)),
        (format!("\u{feff}{UNTIDY}"), format!("\u{feff}{TIDY}")),
        (format!("\u{feff}{}", wide(UNTIDY)), format!("\u{feff}{}", wide(TIDY))),
    ] {
        room.put("a.flam", &before);
        let piped = room.run_with(&["fmt", "-"], before.as_bytes());
        assert_eq!(String::from_utf8(piped.out).expect("UTF-8"), after);
        assert_eq!(room.run(&["fmt", "--check", "a.flam"]).status, 1);
        assert_eq!(room.run(&["fmt", "a.flam"]).status, 0);
        assert_eq!(String::from_utf8(room.get("a.flam")).expect("UTF-8"), after);
        assert_eq!(room.run(&["fmt", "--check", "a.flam"]).status, 0);
    }
}

#[test]
fn a_file_that_may_only_be_read_stays() {
    let room = Room::new("fmt-read-only");
    room.put("a.flam", UNTIDY);
    set_mode(&room, "a.flam", 0o444);
    let ended = room.run(&["fmt", "a.flam"]);
    assert_eq!(ended.status, 2, "{}", ended.err);
    assert!(ended.err.contains("it may only be read"), "{}", ended.err);
    assert_eq!(room.get("a.flam"), UNTIDY.as_bytes());
    room.put("b.flam", GOOD);
    room.put("b.pdf", "old");
    set_mode(&room, "b.pdf", 0o400);
    assert_eq!(room.run(&["build", "b.flam"]).status, 2);
    assert_eq!(room.get("b.pdf"), b"old");
    assert_eq!(room.names(), ["a.flam", "b.flam", "b.pdf"]);
}

#[test]
fn owner_mode_and_links_stay() {
    let room = Room::new("fmt-owner");
    room.put("a.flam", UNTIDY);
    set_mode(&room, "a.flam", 0o640);
    // Only root can give a file away; others keep their own.
    let _ = std::os::unix::fs::chown(room.path("a.flam"), Some(12), Some(34));
    let before = fs::metadata(room.path("a.flam")).expect("a file");
    std::os::unix::fs::symlink("a.flam", room.path("link.flam")).expect("a link");
    assert_eq!(room.run(&["fmt", "link.flam"]).status, 0);
    let after = fs::metadata(room.path("a.flam")).expect("a file");
    assert_eq!(room.get("a.flam"), TIDY.as_bytes());
    assert!(room.path("link.flam").is_symlink());
    let kept = |found: &fs::Metadata| (found.uid(), found.gid(), found.mode());
    assert_eq!(kept(&before), kept(&after));
}

#[test]
fn all_names_of_a_file_stay_its_names() {
    let room = Room::new("fmt-names");
    room.put("a.flam", UNTIDY);
    fs::hard_link(room.path("a.flam"), room.path("b.flam")).expect("a name");
    assert_eq!(room.run(&["fmt", "a.flam"]).status, 0);
    assert_eq!(room.get("b.flam"), TIDY.as_bytes());
    let found = fs::metadata(room.path("a.flam")).expect("a file");
    assert_eq!(found.nlink(), 2);
    assert_eq!(room.names(), ["a.flam", "b.flam"]);
}

#[test]
fn names_may_be_as_long_as_they_can_be() {
    let room = Room::new("long-names");
    let name = |ending: &str| format!("{}{ending}", "n".repeat(255 - ending.len()));
    room.put(&name(".flam"), UNTIDY);
    let ended = room.run(&["fmt", &name(".flam")]);
    assert_eq!(ended.status, 0, "{}", ended.err);
    let ended = room.run(&["build", &name(".flam"), "-o", &name(".pdf")]);
    assert_eq!(ended.status, 0, "{}", ended.err);
    assert_eq!(room.run(&["new", &name(".new")]).status, 0);
    assert_eq!(room.names().len(), 3);
    let ended = room.run(&[
        "build",
        &name(".flam"),
        "-o",
        &name("too-long.pdf.pdf").replace("too", "too-too"),
    ]);
    assert!(ended.status == 2 && ended.err.contains("too long"), "{}", ended.err);
}

/// A text is on the disk itself before it takes its place, and its name after that; told by `strace`, and
/// nothing is tested where that is not there.
#[cfg(target_os = "linux")]
#[test]
fn a_text_outlasts_a_failure_of_power() {
    let room = Room::new("fmt-power");
    room.put("a.flam", UNTIDY);
    let traced = std::process::Command::new("strace")
        .args(["-f", "-o", "calls", "-e", "trace=fsync,rename", env!("CARGO_BIN_EXE_flamacue")])
        .args(["fmt", "a.flam"])
        .current_dir(room.path("."))
        .status();
    if !traced.is_ok_and(|status| status.success()) {
        return;
    }
    assert_eq!(room.get("a.flam"), TIDY.as_bytes());
    let calls = String::from_utf8(room.get("calls")).expect("UTF-8");
    let calls: Vec<&str> = calls
        .lines()
        .filter_map(|line| ["fsync", "rename"].into_iter().find(|call| line.contains(call)))
        .collect();
    assert_eq!(calls, ["fsync", "rename", "fsync"]);
}
