//! The reference of the user guide names the block words, keys and marks there are, and every link
//! of the guide and the README leads somewhere. That each sample builds is a case of its own in
//! `tests/cases/samples.rs`.

// Helpers outside of test functions may stop the test too.
#![allow(clippy::expect_used)]

mod built;

use built::{clean, root};
use flamacue::font::Fonts;
use flamacue::score::BlockWord;

fn read(name: &str) -> String {
    std::fs::read_to_string(root().join(name)).expect("a readable page")
}

#[test]
fn the_reference_names_every_block_word() {
    let reference = read("guide/reference.md");
    for word in BlockWord::ALL {
        assert!(reference.contains(&format!("`{}`", word.as_str())), "{}", word.as_str());
    }
}

/// A key that is not known is a fault, so the names in the table of keys can be tried out.
#[test]
fn the_reference_names_only_keys_there_are() {
    let fonts = Fonts::built_in().expect("the built-in faces");
    let guide = read("guide/reference.md");
    let keys = guide.split("## Keys").nth(1).expect("the keys");
    let keys = keys.split("## ").next().expect("their table");
    let mut names: Vec<&str> = Vec::new();
    for row in keys.lines().filter(|line| line.starts_with("| `")) {
        let cell = row.split('|').nth(1).unwrap_or_default();
        names.extend(cell.split('`').skip(1).step_by(2));
    }
    assert!(names.len() >= 20, "{names:?}");
    let is_known = |name: &str| {
        let text = format!("{name}: no such value\n\nfill\n  play s s s s\n");
        let found = clean(&fonts, "keys", &text).err().unwrap_or_default();
        !found.contains("there is no key")
    };
    assert!(!is_known("zithers"), "a made-up key is known");
    for name in names {
        assert!(is_known(name), "`{name}`");
    }
}

/// Each mark the reference names, in an exercise of its own.
#[test]
fn the_reference_names_only_marks_there_are() {
    let page = read("guide/reference.md");
    let table = page.split("## Marks").nth(1).and_then(|rest| rest.split("## ").next());
    let rows = table.expect("the table of marks").lines().filter(|line| line.starts_with("| `"));
    let names = rows.filter_map(|line| line.split('|').nth(1));
    let marks: Vec<_> = names.flat_map(|cell| cell.split('`').skip(1).step_by(2)).collect();
    assert!(marks.len() > 25, "only {} marks", marks.len());
    let fonts = Fonts::built_in().expect("the built-in faces");
    let fault = |mark: &str| {
        // A jump has where to go and where to leave, and a tempo to go back to was left.
        let map = "segno+coda . . to-coda+fine";
        // The end of a phrase has one to end.
        let bars = "s s s s |: s s s s | s s s s :|";
        let text =
            format!("exercise\n  mark  phrase+rit . . . | {mark} . . . | {map}\n  play  {bars}\n");
        clean(&fonts, mark, &text).err()
    };
    assert!(fault("zither").is_some(), "a made-up mark is taken");
    for mark in marks {
        let found = fault(mark);
        assert!(found.is_none(), "`{mark}`\n{}", found.unwrap_or_default());
    }
}

/// The anchor of a heading: its words in small letters with hyphens between them.
fn anchor(heading: &str) -> String {
    let kept = heading.trim_start_matches('#').trim().chars();
    let kept = kept.filter(|c| c.is_alphanumeric() || matches!(c, ' ' | '-'));
    kept.flat_map(char::to_lowercase).map(|c| if c == ' ' { '-' } else { c }).collect()
}

#[test]
fn every_link_leads_somewhere() {
    let mut links = 0;
    for page in [
        "README.md",
        "guide/README.md",
        "guide/reference.md",
        "guide/pages.md",
        "guide/variations.md",
        "guide/editions.md",
        "guide/desk.md",
        "guide/sound.md",
        "guide/editor.md",
        "guide/lessons.md",
        "guide/film.md",
    ] {
        let text = read(page);
        for link in text.split("](").skip(1).filter_map(|rest| rest.split(')').next()) {
            links += 1;
            let (file, place) = link.split_once('#').unwrap_or((link, ""));
            let path = root().join(page);
            let path = if file.is_empty() { path } else { path.with_file_name(file) };
            assert!(path.exists(), "{page}: {link}");
            if !place.is_empty() {
                let there = std::fs::read_to_string(&path).expect("a readable page");
                let mut headings = there.lines().filter(|line| line.starts_with('#'));
                assert!(headings.any(|line| anchor(line) == place), "{page}: {link}");
            }
        }
    }
    assert!(links > 40, "only {links} links");
}
