use crate::room::{FAULTY, GOOD, Room};

#[test]
fn check_tells_good_from_faulty() {
    let room = Room::new("check");
    room.put("good.flam", GOOD);
    room.put("bad.flam", FAULTY);
    let ended = room.run(&["check", "good.flam"]);
    assert_eq!((ended.status, ended.err.as_str()), (0, ""));
    let ended = room.run(&["check", "good.flam", "bad.flam"]);
    assert_eq!(ended.status, 1);
    assert!(ended.err.ends_with("faults in 1 of 2 files\n"), "{}", ended.err);
    assert_eq!(room.run_with(&["check", "-"], FAULTY.as_bytes()).status, 1);
    assert_eq!(room.names(), ["bad.flam", "good.flam"]);
}

#[test]
fn a_new_file_builds_and_cares() {
    let room = Room::new("new");
    assert_eq!(room.run(&["new"]).status, 0);
    assert_eq!(room.names(), ["handout.flam"]);
    let text = String::from_utf8(room.get("handout.flam")).expect("UTF-8");
    for word in ["hearing protection", "stop if anything hurts", "licensed"] {
        assert!(text.contains(word), "{word}");
    }
    let ended = room.run(&["build", "handout.flam"]);
    assert_eq!((ended.status, ended.err.as_str()), (0, ""));
}

#[test]
fn a_new_file_never_replaces_another() {
    let room = Room::new("new-again");
    room.put("mine.flam", "mine");
    let ended = room.run(&["new", "mine.flam"]);
    assert_eq!(ended.status, 2);
    assert!(ended.err.contains("already there"), "{}", ended.err);
    assert_eq!(room.get("mine.flam"), b"mine");
}

#[test]
fn a_formatted_file_stays_as_it_is() {
    let room = Room::new("fmt");
    room.put("a.flam", GOOD);
    assert_eq!(room.run(&["fmt", "a.flam"]).status, 0);
    let once = room.get("a.flam");
    assert_eq!(room.run(&["fmt", "a.flam"]).status, 0);
    assert_eq!(room.get("a.flam"), once);
    let ended = room.run(&["fmt", "--check", "a.flam"]);
    assert_eq!((ended.status, ended.out.as_slice()), (0, &b""[..]));
    let ended = room.run_with(&["fmt", "-"], &once);
    assert_eq!((ended.status, ended.out), (0, once));
}

#[test]
fn a_file_with_faults_is_not_formatted() {
    let room = Room::new("fmt-faulty");
    room.put("bad.flam", FAULTY);
    assert_eq!(room.run(&["fmt", "bad.flam"]).status, 1);
    assert_eq!(room.get("bad.flam"), FAULTY.as_bytes());
}

#[test]
fn help_is_enough_to_start_with() {
    let room = Room::new("help");
    let ended = room.run(&["--help"]);
    let text = String::from_utf8(ended.out).expect("UTF-8");
    assert_eq!(ended.status, 0);
    for word in ["flamacue new", "one beat", "Exit status", "build", "check", "fmt"] {
        assert!(text.contains(word), "{word}");
    }
    for part in ["build", "check", "explain", "expand", "fmt", "new"] {
        let text = String::from_utf8(room.run(&[part, "--help"]).out).expect("UTF-8");
        assert!(text.contains("Examples:"), "{part}");
    }
    assert_eq!(room.run(&[]).status, 2);
}

/// The commands with help, as the help names them.
fn parts(room: &Room) -> Vec<String> {
    let text = String::from_utf8(room.run(&["--help"]).out).expect("UTF-8");
    let part = text.split("Commands:\n").nth(1).and_then(|rest| rest.split("\n\n").next());
    let lines = part.expect("commands").lines().filter_map(|line| line.strip_prefix("  "));
    let names = lines.filter_map(|line| line.split(' ').next()).filter(|name| !name.is_empty());
    names.filter(|name| *name != "help").map(str::to_owned).collect()
}

/// The list of commands, the help of each and its page of the manual say the same of it.
#[test]
fn a_command_says_of_itself_what_the_list_says_of_it() {
    let room = Room::new("help-about");
    let told = |arguments: &[&str]| String::from_utf8(room.run(arguments).out).expect("UTF-8");
    let list = told(&["--help"]);
    for part in parts(&room) {
        let named = |line: &&str| line.split_whitespace().next() == Some(&*part);
        let line = list.lines().filter(|line| line.starts_with("  ")).find(named).expect("a line");
        let about = line.trim_start().trim_start_matches(&*part).trim_start();
        for help in ["-h", "--help"] {
            let help = told(&[&part, help]);
            assert!(help.starts_with(about), "{part}: {about:?} in the list\n{help}");
        }
        let page = told(&["manual", &part]).replace("\\*(Aq", "'").replace('\\', "");
        assert!(page.contains(&format!("flamacue-{part} - {about}")), "{part}: {about:?}\n{page}");
    }
}

/// What an example of the help hands to the command: what stands before its explanation and before what a shell does.
fn arguments(example: &str) -> Vec<String> {
    let before = ["  ", " < ", " > ", " | "].iter().filter_map(|sign| example.find(sign)).min();
    let line = &example[..before.unwrap_or(example.len())];
    let quoted = line.split('"').enumerate();
    quoted
        .flat_map(|(nth, part)| match nth % 2 {
            0 => part.split_whitespace().map(str::to_owned).collect(),
            _ => vec![part.to_owned()],
        })
        .collect()
}

#[test]
fn every_example_of_the_help_is_understood() {
    let room = Room::new("help-examples");
    let mut count = 0;
    // The desk stays open until it is ended.
    for part in parts(&room).into_iter().filter(|part| part != "desk") {
        let text = String::from_utf8(room.run(&[&part, "--help"]).out).expect("UTF-8");
        for example in text.lines().filter_map(|line| line.strip_prefix("  flamacue ")) {
            let arguments = arguments(example);
            let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
            assert_eq!(arguments[0], part, "{example}");
            // There are no such files here, which is told only after the rest is understood.
            let ended = room.run(&arguments);
            assert!(!ended.err.contains("try '--help'"), "{example}: {}", ended.err);
            count += 1;
        }
    }
    assert!(count > 40, "{count} examples");
}

#[test]
fn the_help_of_watch_says_nothing_of_standard_input() {
    let room = Room::new("help-watch");
    let text = String::from_utf8(room.run(&["watch", "--help"]).out).expect("UTF-8");
    assert!(!text.contains("another program sends") && !text.contains("standard input"), "{text}");
    // What a heading stands over belongs to it.
    for part in ["build", "watch", "film", "lesson"] {
        let text = String::from_utf8(room.run(&[part, "--help"]).out).expect("UTF-8");
        let last = text.split("Along a recording:\n").nth(1).expect("a heading");
        let options = last.split("Examples:").next().expect("options");
        let names: Vec<&str> =
            options.lines().filter_map(|l| l.strip_prefix("      --")?.split(' ').next()).collect();
        assert_eq!(names, ["at", "taps", "marks"], "{part}");
    }
}

#[test]
fn manual_and_completions() {
    let room = Room::new("manual");
    let page = String::from_utf8(room.run(&["manual"]).out).expect("UTF-8");
    assert!(page.contains(".TH flamacue 1"), "{page}");
    let page = String::from_utf8(room.run(&["manual", "build"]).out).expect("UTF-8");
    assert!(page.contains("music\\-font"), "{page}");
    // The title has a place for the day, and examples are not filled up.
    assert!(page.contains(".TH flamacue-build 1 \"\" \"flamacue "), "{page}");
    assert!(page.contains(".nf\n  flamacue build handout.flam  "), "{page}");
    assert!(page.matches(".nf\n").count() == page.matches(".fi\n").count(), "{page}");
    let ended = room.run(&["manual", "press"]);
    assert_eq!(ended.status, 2);
    assert!(
        ended.err.contains("build, check, explain, expand, desk, watch, lsp, film, fmt"),
        "{}",
        ended.err
    );
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        let ended = room.run(&["completions", shell]);
        assert_eq!(ended.status, 0);
        assert!(ended.out.len() > 1000, "{shell}");
    }
}

#[test]
fn a_book_is_read_from_its_files() {
    let room = Room::new("include");
    std::fs::create_dir(room.path("chapters")).expect("a folder");
    room.put("book.flam", "title: Two\n\ninclude chapters/one.flam\n\ninclude chapters/two.flam\n");
    room.put("chapters/one.flam", "fill gallop \"G\"\n  play   s s s s\n  stick  R L R L\n");
    room.put("chapters/two.flam", "variation of gallop \"V\"\n   lead: left\n");
    for command in ["build", "check", "explain", "expand"] {
        let ended = room.run(&[command, "book.flam"]);
        assert_eq!((ended.status, ended.err.as_str()), (0, ""), "{command}");
    }
    // A chapter that needs others can be formatted by itself; it can't be built.
    assert_eq!(room.run(&["fmt", "chapters/two.flam"]).status, 0);
    assert_eq!(room.get("chapters/two.flam"), b"variation of gallop \"V\"\n  lead: left\n");
    assert_eq!(room.run(&["check", "chapters/two.flam"]).status, 1);
    room.put("chapters/two.flam", "fill \"V\"\n  play  s s s\n");
    let ended = room.run(&["build", "book.flam"]);
    assert_eq!(ended.status, 1);
    assert!(ended.err.contains("chapters/two.flam:2:"), "{}", ended.err);
    room.put("book.flam", "include none.flam\n");
    let ended = room.run(&["check", "book.flam"]);
    assert_eq!(ended.status, 1);
    assert!(ended.err.contains("can't read none.flam: there is no such file"), "{}", ended.err);
}
