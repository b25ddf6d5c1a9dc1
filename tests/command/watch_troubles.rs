//! What may go wrong round a text that is watched.

use crate::room::Room;
use crate::watch::{SILENCE, TWO, Watch};
use std::fs;

/// A text as another one includes it, and that one.
const CHAPTER: &str = "fill gate\n  play s s s s\n";

/// The page a text comes to.
fn built(room: &Room, name: &str) -> Vec<u8> {
    assert_eq!(room.run(&["build", name, "-o", "once.pdf"]).status, 0);
    let page = room.get("once.pdf");
    fs::remove_file(room.path("once.pdf")).expect("removed");
    page
}

#[cfg(unix)]
#[test]
fn a_folder_that_cannot_be_read_is_told_once_and_taken_up_again() {
    let room = Room::new("watch-folder");
    let Some(command) = room.bound_command() else { return };
    fs::create_dir(room.path("in")).expect("a folder");
    room.put("a.flam", "include in/one.flam\n");
    room.put("in/one.flam", CHAPTER);
    let watch = Watch::run(command, &["a.flam"]);
    watch.until("watching");
    let first = room.get("a.pdf");
    room.set_mode("in", 0o000);
    // What stands over another text is saved, and the chapter is out of reach then.
    room.put("a.flam", "include in/one.flam\n\nMore.\n");
    assert!(watch.until("error: ").contains("not allowed"));
    while !watch.line().is_empty() {}
    watch.is_silent();
    assert_eq!(room.get("a.pdf"), first, "the last page stays");
    room.set_mode("in", 0o755);
    assert!(watch.until("a.pdf").starts_with("a.pdf: changed ("));
    room.put("in/one.flam", CHAPTER.replace("s s s s", "s s f f"));
    assert!(watch.until("a.pdf").starts_with("a.pdf: changed ("));
    assert_eq!(room.get("a.pdf"), built(&room, "a.flam"));
}

#[test]
fn a_text_that_is_far_too_long_is_refused_and_the_next_is_taken() {
    let room = Room::new("watch-long");
    room.put("a.flam", TWO);
    let watch = Watch::start(&room, &["a.flam"]);
    watch.until("watching");
    let first = room.get("a.pdf");
    let block = "fill\n  play s s s s\n\n";
    room.put("a.flam", block.repeat((10 << 20) / block.len()));
    assert!(watch.until("error: ").contains("larger than 4 megabytes"));
    while !watch.line().is_empty() {}
    watch.is_silent();
    assert_eq!(room.get("a.pdf"), first, "the last pages stay");
    room.put("a.flam", TWO.replace("t t t t", "t t f f"));
    assert!(watch.line().starts_with("a.pdf: page 2 changed ("));
}

#[test]
fn two_who_watch_one_text_leave_one_whole_page() {
    let room = Room::new("watch-two");
    room.put("a.flam", TWO);
    let mut watches = [Watch::start(&room, &["a.flam"]), Watch::start(&room, &["a.flam"])];
    watches.iter().for_each(|watch| drop(watch.until("watching")));
    for cells in ["t t f f", "m m f f", "f f f f"] {
        room.put("a.flam", TWO.replace("t t t t", cells));
        for watch in &watches {
            assert!(watch.line().starts_with("a.pdf: page 2 changed ("));
        }
        assert_eq!(room.get("a.pdf"), built(&room, "a.flam"));
    }
    // Nothing that one of them writes is a save for the other.
    watches.iter().for_each(Watch::is_silent);
    watches.iter_mut().for_each(Watch::interrupt);
    assert_eq!(room.names(), ["a.flam", "a.pdf"]);
}

#[test]
fn of_two_saves_the_last_is_on_the_page() {
    let room = Room::new("watch-quick");
    room.put("a.flam", TWO);
    let watch = Watch::start(&room, &["a.flam"]);
    watch.until("watching");
    for turn in 0..4 {
        let (first, last) =
            if turn % 2 == 0 { ("m m m m", "f f f f") } else { ("f m f m", "t t t t") };
        // One after the other at once; and one put in the place of the other, as some editors save.
        room.put("a.flam", TWO.replace("t t t t", first));
        room.put("b.flam", TWO.replace("t t t t", last));
        fs::rename(room.path("b.flam"), room.path("a.flam")).expect("renamed");
        let mut told = vec![watch.line()];
        while let Ok(line) = watch.said.recv_timeout(SILENCE) {
            told.push(line);
        }
        assert!(
            told.len() <= 2 && told.iter().all(|line| line.contains("page 2 changed")),
            "{told:?}"
        );
        assert_eq!(room.get("a.pdf"), built(&room, "a.flam"));
    }
}

#[test]
fn a_text_without_a_last_line_end_is_a_text() {
    let room = Room::new("watch-endless");
    room.put("a.flam", TWO.trim_end());
    let watch = Watch::start(&room, &["a.flam"]);
    watch.until("watching");
    room.put("a.flam", TWO);
    assert!(watch.line().starts_with("every page looks as it did ("));
    room.put("a.flam", TWO.trim_end().trim_end_matches("t t t t"));
    assert!(watch.line().starts_with("error: no row here gives any notes"));
    watch.until("error: the row `play` is empty");
    while !watch.line().is_empty() {}
    room.put("a.flam", TWO.trim_end().replace("t t t t", "t t t f"));
    assert!(watch.line().starts_with("a.pdf: page 2 changed ("));
}
