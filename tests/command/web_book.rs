//! A web book: which files it becomes.

use crate::room::Room;

const BOOK: &str = "title: Doors\n\nedition student\n  all: sticking: none\n\n# One\n\n\
    fill front\n  play   S.ss t.tt m.mm F\n\n# Two\n\nAs @front.\n";

/// The names in a folder of a room.
fn inside(room: &Room, folder: &str) -> Vec<String> {
    let entries = std::fs::read_dir(room.path(folder)).expect("a folder");
    let mut names: Vec<String> = entries
        .map(|entry| entry.expect("an entry").file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

const PAGES: [&str; 3] = ["chapter-1.html", "chapter-2.html", "index.html"];

#[test]
fn a_web_book_is_a_folder() {
    let room = Room::new("web-book");
    room.put("doors.flam", BOOK);
    let ended = room.run(&["build", "doors.flam", "--web"]);
    assert_eq!((ended.status, ended.err.as_str()), (0, ""));
    assert_eq!(room.names(), ["doors-web", "doors.flam"]);
    assert_eq!(inside(&room, "doors-web"), PAGES);
    let page = String::from_utf8(room.get("doors-web/chapter-2.html")).expect("UTF-8");
    assert!(page.contains("<a href=\"chapter-1.html#front\">"), "{page}");
    let ended = room.run(&["build", "doors.flam", "--web", "-o", "out"]);
    assert_eq!((ended.status, ended.err.as_str()), (0, ""));
    assert_eq!(inside(&room, "out"), PAGES);
}

#[test]
fn several_books_and_editions_have_folders_of_their_own() {
    let room = Room::new("web-books");
    room.put("doors.flam", BOOK);
    room.put("floors.flam", BOOK);
    let ended = room.run(&["build", "doors.flam", "floors.flam", "--web", "-o", "out/"]);
    assert_eq!(ended.status, 0, "{}", ended.err);
    assert_eq!(inside(&room, "out"), ["doors-web", "floors-web"]);
    assert_eq!(inside(&room, "out/floors-web"), PAGES);
    let ended = room.run(&["build", "doors.flam", "--web", "--edition", "student"]);
    assert_eq!((ended.status, ended.err.as_str()), (0, ""));
    assert_eq!(inside(&room, "doors-web-student"), PAGES);
}

#[test]
fn a_name_for_one_page_and_pictures_are_refused() {
    let room = Room::new("web-refused");
    room.put("doors.flam", BOOK);
    let ended = room.run(&["build", "doors.flam", "--web", "-o", "doors.html"]);
    assert_eq!(ended.status, 2);
    assert!(ended.err.contains("--web writes a folder of pages"), "{}", ended.err);
    assert_eq!(room.run(&["build", "doors.flam", "--web", "--each"]).status, 2);
    assert_eq!(room.run(&["build", "doors.flam", "--web", "-o", "-"]).status, 2);
    assert_eq!(room.names(), ["doors.flam"]);
}
