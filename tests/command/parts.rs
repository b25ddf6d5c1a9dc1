//! The pages of single players: which files they become, and what stands in them.

use crate::room::Room;

const DUET: &str = "title: Two\n\nexercise a \"A\"\n  mark  A . . . | . . . .\n  player \"Teacher\"\n    \
    play  s s s s | ssss s s s\n  player \"The Student\"\n    play  . . . . | t t t t\n";

#[test]
fn a_part_has_the_players_name_in_that_of_its_file() {
    let room = Room::new("part");
    room.put("two.flam", DUET);
    let ended = room.run(&["build", "two.flam", "--part", "the student"]);
    assert_eq!((ended.status, ended.err.as_str()), (0, ""));
    assert_eq!(room.names(), ["two-the-student.pdf", "two.flam"]);
    let ended = room.run(&["build", "two.flam", "--part", "Teacher", "-o", "x.json"]);
    assert_eq!((ended.status, ended.err.as_str()), (0, ""));
    let drawn = String::from_utf8(room.get("x.json")).expect("UTF-8");
    // One staff, without a bracket, under the title and the name of the player; what holds for all stays.
    assert_eq!(drawn.matches("\"group\":\"player\"").count(), 0);
    assert!(!drawn.contains("player-bracket") && drawn.contains("Teacher"), "{drawn}");
    assert!(drawn.contains("\"section\""), "{drawn}");
}

#[test]
fn cues_stand_on_the_players_own_pages_alone() {
    let room = Room::new("cues");
    let rows = "  player \"Teacher\"\n    play  ssss s s s | sss tt m k+h | s s s s\n";
    let own = "  player \"Student\"\n    cue  . | . . \"teacher\" | .\n    play  | | s s s s\n";
    room.put("two.flam", format!("exercise \"A\"\n{rows}{own}"));
    let ended = room.run(&["build", "two.flam", "--parts", "-o", "y.json"]);
    assert_eq!((ended.status, ended.err.as_str()), (0, ""));
    let count = |name: &str, what: &str| {
        let drawn = String::from_utf8(room.get(name)).expect("UTF-8");
        drawn.matches(what).count()
    };
    // The bars before it are not joined to a rest of two bars, and the bar keeps its own rest; the small half
    // rest lies on a line of its own.
    assert_eq!(count("y-student.json", "\"mark\":\"cue-name\""), 1);
    assert_eq!(count("y-student.json", "\"mark\":\"notehead\""), 6);
    assert_eq!(count("y-student.json", "\"mark\":\"rest\""), 4);
    for other in ["y.json", "y-teacher.json"] {
        assert_eq!(count(other, "cue-name") + count(other, "small-notes"), 0, "{other}");
    }
}

#[test]
fn all_parts_and_all_players_together() {
    let room = Room::new("parts");
    room.put("two.flam", DUET);
    let ended = room.run(&["build", "two.flam", "--parts", "-o", "y.json"]);
    assert_eq!((ended.status, ended.err.as_str()), (0, ""));
    assert_eq!(room.names(), ["two.flam", "y-teacher.json", "y-the-student.json", "y.json"]);
    let staves = |name: &str| {
        let drawn = String::from_utf8(room.get(name)).expect("UTF-8");
        drawn.matches("\"mark\":\"clef\"").count()
    };
    assert_eq!(
        (staves("y-teacher.json"), staves("y-the-student.json"), staves("y.json")),
        (1, 1, 2)
    );
}

#[test]
fn a_player_that_there_is_not_is_refused() {
    let room = Room::new("no-part");
    room.put("two.flam", DUET);
    let ended = room.run(&["build", "two.flam", "--part", "Techer"]);
    assert_eq!(ended.status, 2);
    assert!(ended.err.contains("it has `Teacher`, `The Student`"), "{}", ended.err);
    assert_eq!(room.names(), ["two.flam"]);
}
