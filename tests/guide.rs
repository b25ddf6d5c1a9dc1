//! Every sample of the user guide and of the README is a whole file that builds without a fault or
//! a warning, and the reference names the block words and keys there are.

// Helpers outside of test functions may stop the test too.
#![allow(clippy::expect_used)]

mod built;

use built::{clean, number_of, root};
use flamacue::drawing::Kind;
use flamacue::font::Fonts;
use flamacue::score::BlockWord;

/// A fenced sample and the line it starts on.
struct Sample {
    line: usize,
    text: String,
}

fn samples(page: &str) -> Vec<Sample> {
    let mut samples = Vec::new();
    let mut open: Option<Sample> = None;
    for (index, line) in page.lines().enumerate() {
        match &mut open {
            None if line == "```flam" => {
                open = Some(Sample { line: index + 2, text: String::new() });
            }
            None => {}
            Some(_) if line == "```" => samples.extend(open.take()),
            Some(sample) => {
                sample.text.push_str(line);
                sample.text.push('\n');
            }
        }
    }
    assert!(open.is_none(), "a sample is not closed");
    samples
}

fn read(name: &str) -> String {
    std::fs::read_to_string(root().join(name)).expect("a readable page")
}

#[test]
fn every_sample_builds() {
    let fonts = Fonts::built_in().expect("the built-in faces");
    let mut wrong = String::new();
    let pages = [
        ("guide/README.md", 25),
        ("guide/pages.md", 3),
        ("guide/variations.md", 1),
        ("README.md", 1),
    ];
    for (page, least) in pages {
        let samples = samples(&read(page));
        assert!(samples.len() >= least, "{page}: only {} samples", samples.len());
        for sample in samples {
            let name = format!("{page}, sample at line {}", sample.line);
            match clean(&fonts, &name, &sample.text) {
                Err(found) => wrong.push_str(&found),
                Ok(compiled) => {
                    for (block, picture) in &compiled.blocks {
                        let notes = number_of(picture, Kind::Notehead);
                        assert!(notes > 0, "{name}: no notes in {block}");
                    }
                    assert!(!compiled.blocks.is_empty(), "{name}: no music");
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}

#[test]
fn the_reference_names_every_block_word() {
    let guide = read("guide/README.md");
    let reference = guide.split("## Reference").nth(1).expect("a reference");
    for word in BlockWord::ALL {
        assert!(reference.contains(&format!("`{}`", word.as_str())), "{}", word.as_str());
    }
}

/// A key that is not known is a fault, so the names in the table of keys can be tried out.
#[test]
fn the_reference_names_only_keys_there_are() {
    let fonts = Fonts::built_in().expect("the built-in faces");
    let guide = read("guide/README.md");
    let keys = guide.split("### Keys").nth(1).expect("the keys");
    let keys = keys.split("### ").next().expect("their table");
    let mut names: Vec<&str> = Vec::new();
    for row in keys.lines().filter(|line| line.starts_with("| `")) {
        let cell = row.split('|').nth(1).unwrap_or_default();
        names.extend(cell.split('`').skip(1).step_by(2));
    }
    assert!(names.len() >= 20, "{names:?}");
    for name in names {
        let text = format!("{name}: no such value\n\nfill\n  play s s s s\n");
        let found = clean(&fonts, "keys", &text).err().unwrap_or_default();
        assert!(!found.contains("there is no key"), "`{name}`\n{found}");
    }
}

/// Each mark the reference names, in an exercise of its own.
#[test]
fn the_reference_names_only_marks_there_are() {
    let page = read("guide/README.md");
    let table = page.split("### Marks").nth(1).and_then(|rest| rest.split("### ").next());
    let rows = table.expect("the table of marks").lines().filter(|line| line.starts_with("| `"));
    let names = rows.filter_map(|line| line.split('|').nth(1));
    let marks: Vec<_> = names.flat_map(|cell| cell.split('`').skip(1).step_by(2)).collect();
    assert!(marks.len() > 25, "only {} marks", marks.len());
    let fonts = Fonts::built_in().expect("the built-in faces");
    for mark in marks {
        let text = format!("exercise\n  mark  {mark} . . . | .\n  play  |: s s s s | s s s s :|\n");
        let built = clean(&fonts, mark, &text);
        assert!(built.is_ok(), "`{mark}`\n{}", built.err().unwrap_or_default());
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
    for page in ["README.md", "guide/README.md", "guide/pages.md", "guide/variations.md"] {
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
