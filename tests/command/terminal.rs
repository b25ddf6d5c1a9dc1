//! Nothing in a name or a text moves the cursor of the terminal.

use crate::room::{GOOD, Room};

/// Colours a line, sets the title of a window, and rings.
const EVIL: &str = "\u{1b}[31m\u{1b}]0;x\u{7}\u{9b}2J";

fn is_clean(told: &str) -> bool {
    !told.chars().any(|c| c.is_control() && c != '\n' && c != '\t')
}

#[cfg(unix)]
#[test]
fn names_of_files_are_shown_without_control() {
    let room = Room::new("evil-names");
    let (good, bad) = (format!("{EVIL}.flam"), format!("{EVIL}b.flam"));
    room.put(&good, GOOD);
    room.put(&bad, "  play s\n");
    room.put("c.flam", format!("include {EVIL}.txt\n"));
    let missing = format!("{EVIL}-none");
    for arguments in [
        &["build", &good, "-o", "x/"][..],
        &["build", &good, &bad],
        &["build", &missing],
        &["build", &good, "-o", &missing],
        &["build", &good, "--style", &missing],
        &["build", &good, "--root", &missing],
        &["build", "c.flam"],
        &["check", &good, &bad],
        &["fmt", &good, &bad],
        &["new", &good],
        &["manual", EVIL],
        &[EVIL],
        &["build", &good, EVIL, &format!("--{EVIL}")],
        &["build", &good, "--scale", EVIL],
    ] {
        let ended = room.run(arguments);
        assert!(is_clean(&ended.err), "{arguments:?}: {:?}", ended.err);
    }
}

#[test]
fn texts_and_styles_are_shown_without_control() {
    let room = Room::new("evil-texts");
    room.put(
        "a.flam",
        format!("title: {EVIL}\nno-{EVIL}: x\n\nfill {EVIL} \"{EVIL}\"\n  {EVIL} s\n"),
    );
    room.put("good.flam", GOOD);
    for style in [
        format!("\"{EVIL}\" = 1\n"),
        format!("x = \"\\u001b[31m{EVIL}\"\n"),
        "\"\\u001b[2J\" = 1\n".into(),
    ] {
        room.put("style.toml", style);
        let ended = room.run(&["build", "good.flam", "--style", "style.toml"]);
        assert!(ended.status == 2 && is_clean(&ended.err), "{:?}", ended.err);
    }
    for command in ["build", "check", "explain", "expand", "fmt"] {
        let ended = room.run(&[command, "a.flam"]);
        assert!(is_clean(&ended.err), "{:?}", ended.err);
    }
}

/// On a terminal, which `script` (util-linux) makes; nothing is tested where that is not there.
#[cfg(target_os = "linux")]
#[test]
fn texts_are_printed_to_a_terminal_without_control() {
    let room = Room::new("evil-printed");
    room.put("a.flam", format!("{GOOD}\nLoud {EVIL} words.\n"));
    room.put("b\u{1b}[31m.flam", "fill\n  play     s s s s\n");
    let program = env!("CARGO_BIN_EXE_flamacue");
    for words in ["expand a.flam", "fmt - < a.flam", "fmt --check b*.flam"] {
        let script = std::process::Command::new("script")
            .args(["-qec", &format!("{program} {words}"), "/dev/null"])
            .env("NO_COLOR", "1")
            .current_dir(room.path("."))
            .stdin(std::process::Stdio::null())
            .output();
        let Ok(ended) = script else { return };
        let told = String::from_utf8_lossy(&ended.stdout).replace('\r', "");
        assert!(!told.is_empty() && is_clean(&told), "{words}: {told:?}");
    }
}
