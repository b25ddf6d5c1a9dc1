//! Editions of a text: which files they become.

use crate::room::Room;

/// Two editions, one of which has no room for its time signature.
const DOORS: &str = "title: Doors\n\nedition student \"For the student\"\n  all: sticking: none\n\n\
    edition Teacher\n  page: a5\n\nfill front\n  play   S.ss t.tt m.mm F\n  stick  R.RL R.RL R.RL R\n";

#[test]
fn an_edition_has_its_name_in_that_of_its_file() {
    let room = Room::new("edition");
    room.put("doors.flam", DOORS);
    let ended = room.run(&["build", "doors.flam", "--edition", "student", "--edition", "teacher"]);
    assert_eq!((ended.status, ended.err.as_str()), (0, ""));
    assert_eq!(room.names(), ["doors-Teacher.pdf", "doors-student.pdf", "doors.flam"]);
    let ended = room.run(&["build", "doors.flam", "--edition", "student", "-o", "x.svg"]);
    assert_eq!((ended.status, ended.err.as_str()), (0, ""));
    assert!(room.names().contains(&"x.svg".to_owned()));
    let ended = room.run(&["build", "doors.flam", "--edition", "student", "--each", "-o", "web"]);
    assert_eq!((ended.status, ended.err.as_str()), (0, ""));
    assert!(room.path("web/doors-student-front.svg").exists());
}

#[test]
fn all_editions_and_the_text_as_it_stands() {
    let room = Room::new("editions");
    room.put("doors.flam", DOORS);
    let ended = room.run(&["build", "doors.flam", "--editions", "-o", "y.html"]);
    assert_eq!(ended.status, 0, "{}", ended.err);
    assert_eq!(room.names(), ["doors.flam", "y-Teacher.html", "y-student.html", "y.html"]);
    let page = |name: &str| String::from_utf8(room.get(name)).expect("UTF-8");
    assert!(page("y-student.html").contains("For the student"));
    assert!(!page("y.html").contains("For the student"));
}

#[test]
fn an_edition_that_there_is_not_is_refused() {
    let room = Room::new("no-edition");
    room.put("doors.flam", DOORS);
    room.put("bare.flam", "fill\n  play  s s s s\n");
    let ended = room.run(&["build", "doors.flam", "--edition", "studen"]);
    assert_eq!(ended.status, 2);
    assert!(ended.err.contains("it has `student`, `Teacher`"), "{}", ended.err);
    let ended = room.run(&["build", "bare.flam", "--edition", "student"]);
    assert_eq!(ended.status, 2);
    assert!(ended.err.contains("write one"), "{}", ended.err);
    assert_eq!(room.names(), ["bare.flam", "doors.flam"]);
    let ended = room.run(&["build", "doors.flam", "--editions", "-o", "-"]);
    assert_eq!(ended.status, 2);
}

#[test]
fn a_check_looks_at_every_edition() {
    let room = Room::new("check-editions");
    let wrong = DOORS.replace("  page: a5", "  all: time: 3/4");
    room.put("doors.flam", &wrong);
    let ended = room.run(&["check", "doors.flam"]);
    assert_eq!(ended.status, 1);
    assert!(
        ended.err.contains("edition `Teacher`: `play`: four beats in a bar of 3/4"),
        "{}",
        ended.err
    );
    // What is wrong in one is no fault of the others.
    assert_eq!(room.run(&["build", "doors.flam", "--edition", "student"]).status, 0);
    assert_eq!(room.run(&["build", "doors.flam", "--editions"]).status, 1);
    assert_eq!(room.names(), ["doors-student.pdf", "doors.flam"]);
}
