//! Runs that are cut short: what stood there before is whole, or what is new is.

use crate::room::{GOOD, Room};
use std::fs::{self, File};
use std::process::{Child, Command, Stdio};
use std::thread::sleep;
use std::time::{Duration, Instant, SystemTime};

const UNTIDY: &str = "fill\n  play     s s s s\n";

/// Many pictures, so that writing takes a while.
fn many() -> String {
    "fill\n  play S.ss t.tt m.mm C+k\n\n".repeat(300)
}

fn start(room: &Room, arguments: &[&str]) -> Child {
    let mut command = room.command();
    command.args(arguments).stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null());
    command.spawn().expect("the command")
}

fn temporary(room: &Room) -> Vec<String> {
    room.names().into_iter().filter(|name| name.starts_with(".flamacue-")).collect()
}

/// Runs a script with `$0` as the program, in the folder.
fn shell(room: &Room, script: &str) -> (Option<i32>, String) {
    let ended = Command::new("sh")
        .args(["-c", script, env!("CARGO_BIN_EXE_flamacue")])
        .current_dir(room.path("."))
        .output()
        .expect("a shell");
    (ended.status.code(), String::from_utf8_lossy(&ended.stderr).into_owned())
}

#[test]
fn an_interrupt_takes_unfinished_files_away() {
    for signal in ["INT", "TERM"] {
        let room = Room::new(&format!("signal-{signal}"));
        room.put("a.flam", many());
        let mut child = start(&room, &["build", "a.flam", "--each"]);
        let begun = Instant::now();
        while temporary(&room).is_empty() && child.try_wait().expect("a state").is_none() {
            assert!(begun.elapsed().as_secs() < 120, "nothing was written");
            sleep(Duration::from_micros(200));
        }
        let id = child.id().to_string();
        let _ = Command::new("kill").args(["-s", signal, &id]).stderr(Stdio::null()).status();
        let ended = child.wait().expect("an end");
        assert!(temporary(&room).is_empty(), "{:?}", temporary(&room));
        // It may have ended before the signal came.
        if !ended.success() {
            use std::os::unix::process::ExitStatusExt;
            assert!(matches!(ended.signal(), Some(2 | 15)), "{ended:?}");
        }
    }
}

#[test]
fn what_a_killed_run_left_is_swept() {
    let room = Room::new("sweep");
    room.put("a.flam", GOOD);
    for name in [".flamacue-1-0.tmp", ".flamacue-2-0.tmp", ".flamacue-x.tmp", ".other.tmp"] {
        room.put(name, "half");
        let file = File::options().write(true).open(room.path(name)).expect("a file");
        let age = if name.contains("-2-") { 60 } else { 2 * 60 * 60 };
        file.set_modified(SystemTime::now() - Duration::from_secs(age)).expect("a time");
    }
    assert_eq!(room.run(&["build", "a.flam"]).status, 0);
    // Another run may still be writing the young one.
    let left = [".flamacue-2-0.tmp", ".flamacue-x.tmp", ".other.tmp", "a.flam", "a.pdf"];
    assert_eq!(room.names(), left);
}

#[test]
fn a_kill_leaves_whole_files() {
    let room = Room::new("kill");
    room.put("a.flam", GOOD);
    room.put("b.flam", format!("{GOOD}\nAnother sentence.\n"));
    let built = |name: &str| {
        let begun = Instant::now();
        assert_eq!(room.run(&["build", name, "-o", "out.pdf"]).status, 0);
        (room.get("out.pdf"), begun.elapsed())
    };
    let (old, _) = built("a.flam");
    let (new, took) = built("b.flam");
    assert!(old != new);
    room.put("out.pdf", &old);
    for step in 0..24_u32 {
        let mut child = start(&room, &["build", "b.flam", "-o", "out.pdf"]);
        sleep(took * step / 20);
        let _ = child.kill();
        let _ = child.wait();
        let found = room.get("out.pdf");
        assert!(found == old || found == new, "step {step}");
    }
}

/// A limit on the size of files stands for a disk that fills up at each of several places. The shell counts
/// in blocks of 512 bytes; with the signal ignored the program is told, without it the program dies.
#[test]
fn a_full_disk_leaves_whole_files() {
    let room = Room::new("limit");
    room.put("a.flam", GOOD);
    room.put("long.flam", format!("{UNTIDY}{}", "\nMore words of prose.\n".repeat(200)));
    let text = room.get("long.flam");
    fs::hard_link(room.path("long.flam"), room.path("twin.flam")).expect("a name");
    room.put("a.pdf", "old");
    for blocks in [0, 1, 2, 7, 15] {
        for signal in ["trap '' XFSZ; ", ""] {
            let limit = format!("{signal}ulimit -f {blocks}; exec \"$0\"");
            let (code, told) = shell(&room, &format!("{limit} build a.flam"));
            assert_ne!(code, Some(0), "{blocks}");
            assert_eq!(room.get("a.pdf"), b"old");
            if !signal.is_empty() {
                assert_eq!(code, Some(2), "{told}");
                assert!(
                    told.contains("can't write a.pdf: files may not become that large"),
                    "{told}"
                );
                assert_eq!(temporary(&room), [""; 0]);
                let (code, told) = shell(&room, &format!("{limit} fmt long.flam"));
                // There are two names, so that it is written in place, and given back what it held.
                let fits = blocks * 512 > text.len();
                assert_eq!(code, Some(if fits { 0 } else { 2 }), "{told}");
                assert_eq!(room.get("long.flam") == text, !fits, "{blocks}");
                assert_eq!(room.get("twin.flam"), room.get("long.flam"));
                room.put("long.flam", &text);
            }
            temporary(&room)
                .iter()
                .for_each(|name| fs::remove_file(room.path(name)).expect("gone"));
        }
    }
    let (code, _) = shell(&room, "trap '' XFSZ; ulimit -f 0; exec \"$0\" new fresh.flam");
    assert_eq!(code, Some(2));
    assert_eq!(room.names(), ["a.flam", "a.pdf", "long.flam", "twin.flam"]);
}

/// A small disk of its own, where the system lets a test have one.
#[cfg(target_os = "linux")]
#[test]
fn a_small_disk_that_is_full_keeps_what_it_holds() {
    let room = Room::new("disk");
    fs::create_dir(room.path("disk")).expect("a folder");
    room.put("a.flam", many());
    room.put("untidy.flam", UNTIDY.to_owned() + &"\nfill\n  play     s s s s\n".repeat(800));
    let script = "mount -t tmpfs -o size=64k small disk || exit 77
        cp untidy.flam disk/one.flam; ln disk/one.flam disk/two.flam; cp untidy.flam disk/three.flam
        printf old > disk/a.pdf; head -c 100000 /dev/zero > disk/filler
        \"$0\" build a.flam -o disk/a.pdf; test $? = 2 || exit 1
        \"$0\" new disk/new.flam; test $? = 2 || exit 2
        \"$0\" fmt disk/three.flam; test $? = 2 || exit 3
        cmp disk/three.flam untidy.flam || exit 4
        test \"$(cat disk/a.pdf)\" = old || exit 5
        \"$0\" fmt disk/one.flam; cmp disk/one.flam disk/two.flam || exit 6
        test $(stat -c %h disk/one.flam) = 2 || exit 7
        test $(ls -A disk | wc -l) = 5 || exit 8";
    let quoted = format!("exec unshare -rm sh -c '{}' \"$0\"", script.replace('\'', "'\\''"));
    let (code, told) = shell(&room, &quoted);
    if code == Some(77) || told.contains("unshare") {
        return;
    }
    assert_eq!(code, Some(0), "{told}");
    assert!(told.contains("the disk is full"), "{told}");
}

/// Root may write where others may not, so nothing is tested for root.
#[test]
fn a_folder_that_may_only_be_read_is_told() {
    use std::os::unix::fs::{MetadataExt, PermissionsExt};
    let room = Room::new("read-only-folder");
    room.put("a.flam", UNTIDY);
    let set = |mode| fs::set_permissions(room.path("."), fs::Permissions::from_mode(mode));
    set(0o555).expect("a mode");
    let is_root = File::create(room.path("probe")).is_ok();
    let own = fs::metadata(room.path(".")).expect("a folder").uid();
    let ended: Vec<_> = [["build", "a.flam"], ["fmt", "a.flam"], ["new", "b.flam"]]
        .iter()
        .map(|arguments| room.run(arguments))
        .collect();
    set(0o755).expect("a mode");
    if is_root {
        return;
    }
    assert!(ended.iter().all(|e| e.status == 2 && e.err.contains("not allowed")), "user {own}");
    assert_eq!(room.get("a.flam"), UNTIDY.as_bytes());
    assert_eq!(room.names(), ["a.flam"]);
}

#[test]
fn two_writers_of_one_file_leave_one_of_theirs() {
    let room = Room::new("two");
    room.put("a.flam", GOOD);
    room.put("b.flam", format!("{GOOD}\nAnother sentence.\n"));
    let built = |name: &str| {
        assert_eq!(room.run(&["build", name, "-o", "out.pdf"]).status, 0);
        room.get("out.pdf")
    };
    let (one, two) = (built("a.flam"), built("b.flam"));
    for _ in 0..8 {
        let both = ["a.flam", "b.flam"].map(|name| start(&room, &["build", name, "-o", "out.pdf"]));
        for mut child in both {
            assert!(child.wait().expect("an end").success());
        }
        let found = room.get("out.pdf");
        assert!(found == one || found == two);
        let both = [(), ()].map(|()| start(&room, &["new", "new.flam"]));
        let made = both.map(|mut child| child.wait().expect("an end").success());
        assert_eq!(made.iter().filter(|made| **made).count(), 1, "one of two makes it");
        fs::remove_file(room.path("new.flam")).expect("a file");
    }
    assert_eq!(room.names(), ["a.flam", "b.flam", "out.pdf"]);
}

#[test]
fn files_that_come_and_go_are_told() {
    let room = Room::new("vanish");
    room.put("book.flam", "title: Two\n\ninclude one.flam\n\n![A drum](drum.svg)\n");
    room.put("out.pdf", "old");
    let square = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"9\" height=\"9\"><path d=\"M0 0h9v9z\"/></svg>";
    let begun = Instant::now();
    std::thread::scope(|scope| {
        let builds = scope.spawn(|| {
            for _ in 0..20 {
                let ended = room.run(&["build", "book.flam", "-o", "out.pdf"]);
                assert!(matches!(ended.status, 0 | 1), "{}", ended.err);
                let found = room.get("out.pdf");
                assert!(
                    found == b"old" || found.ends_with(b"%%EOF") || found.ends_with(b"%%EOF\n")
                );
            }
        });
        while !builds.is_finished() && begun.elapsed().as_secs() < 120 {
            for (name, text) in [("one.flam", GOOD), ("drum.svg", square)] {
                room.put("next", text);
                fs::rename(room.path("next"), room.path(name)).expect("a file");
                sleep(Duration::from_millis(3));
                fs::remove_file(room.path(name)).expect("gone");
            }
        }
    });
    assert_eq!(temporary(&room), [""; 0]);
}
